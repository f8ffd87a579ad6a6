#include "cli/sheets/guide_strokes.h"

#include <cmath>
#include <map>
#include <optional>

namespace lampflight {
namespace {

void draw_head(GuideInk& ink, Colour8 colour, const Vec2& middle, const Vec2& along) {
    const double size = 0.42 * ink.sizes().letter;
    const Vec2 across{-along.y, along.x};
    ink.triangle(colour, {middle + size * along, middle - 0.8 * size * along + 0.75 * size * across,
                          middle - 0.8 * size * along - 0.75 * size * across});
}

struct Head {
    Vec2 middle;
    Vec2 along;
    double off_middle_s = 0.0;  ///< of a long step
};

/// Midway between two seconds, where no tick hides it: on the cubic through both that has their
/// directions.
std::optional<Head> head_between(const GuideTick& one, const GuideTick& next) {
    constexpr double least_even = 0.6;  // cosine; else there is a corner between them
    const Vec2 way = next.place - one.place;
    const double length = glm::length(way);
    if (next.time_s - one.time_s > 1.5 || length < 1.0) return std::nullopt;
    if (glm::dot(one.along, next.along) < least_even) return std::nullopt;
    const Vec2 middle = 0.5 * (one.place + next.place) + 0.125 * length * (one.along - next.along);
    return Head{middle, way / length};
}

bool has_room(const GuidePath& path, const Vec2& place, double letter) {
    for (const auto& end : {path.start, path.end})
        if (end && glm::distance(*end, place) < 1.2 * letter) return false;
    return !is_crowded(path, place, 0.5 * letter);
}

}  // namespace

void draw_stretch(GuideInk& ink, Colour8 colour, const GuideStretch& stretch) {
    const double letter = ink.sizes().letter, hair = ink.sizes().hair;
    switch (stretch.line) {
        case GuideLine::burning:
            return ink.line(colour, stretch.places, 1.1 * hair);
        case GuideLine::turned_away:
            return draw_dashes(ink, colour, stretch.places, 2.0 * hair, 0.0, 0.5 * letter);
        case GuideLine::dark:
            return draw_dashes(ink, colour, stretch.places, 1.1 * hair, 0.55 * letter,
                               0.5 * letter);
    }
}

double tick_reach(const OverlaySizes& sizes, bool is_long) {
    return (is_long ? 0.55 : 0.28) * sizes.letter;
}

double least_tick_gap(const OverlaySizes& sizes) {
    return 0.5 * sizes.letter;
}

void draw_tick(GuideInk& ink, Colour8 colour, const GuideTick& tick, bool is_long) {
    const Vec2 across = tick_reach(ink.sizes(), is_long) * Vec2(-tick.along.y, tick.along.x);
    ink.line(colour, tick.place - across, tick.place + across,
             (is_long ? 1.4 : 1.0) * ink.sizes().hair);
}

void draw_heads(GuideInk& ink, Colour8 colour, const GuidePath& path, const TickSteps& steps) {
    std::map<double, Head> heads;  // the best of each long step
    for (std::size_t i = 1; i < path.seconds.size(); ++i) {
        const auto head = head_between(path.seconds[i - 1], path.seconds[i]);
        if (!head || !has_room(path, head->middle, ink.sizes().letter)) continue;
        const double time_s = 0.5 * (path.seconds[i - 1].time_s + path.seconds[i].time_s);
        const double step = std::floor(time_s / steps.long_s);
        const double off_s = std::abs(time_s - (step + 0.5) * steps.long_s);
        const auto known = heads.find(step);
        if (known == heads.end() || off_s < known->second.off_middle_s)
            heads[step] = {head->middle, head->along, off_s};
    }
    for (const auto& [step, head] : heads) draw_head(ink, colour, head.middle, head.along);
}

void draw_ends(GuideInk& ink, Colour8 colour, const GuidePath& path) {
    const double letter = ink.sizes().letter;
    if (path.start) ink.disc(colour, *path.start, start_radius_letters * letter);
    if (path.end) ink.ring(colour, *path.end, end_radius_letters * letter, 1.6 * ink.sizes().hair);
}

}  // namespace lampflight
