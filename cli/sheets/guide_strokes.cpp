#include "cli/sheets/guide_strokes.h"

#include <algorithm>
#include <cmath>

namespace lampflight {
namespace {

void draw_head(GuideInk& ink, Colour8 colour, const Vec2& middle, const Vec2& along) {
    const double size = 0.42 * ink.sizes().letter;
    const Vec2 across{-along.y, along.x};
    ink.triangle(colour, {middle + size * along, middle - 0.8 * size * along + 0.75 * size * across,
                          middle - 0.8 * size * along - 0.75 * size * across});
}

bool is_near_end(const GuidePath& path, const Vec2& place, double reach) {
    return (path.start && glm::distance(*path.start, place) < reach) ||
           (path.end && glm::distance(*path.end, place) < reach);
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
    const double letter = ink.sizes().letter;
    const auto far_from_long = [&](const GuideTick& tick) {
        return std::abs(std::remainder(tick.time_s, steps.long_s));
    };
    std::size_t drawn = 0;
    // Between two seconds, so that no tick hides it.
    for (std::size_t i = 1; i < path.seconds.size(); ++i) {
        const GuideTick& one = path.seconds[i - 1];
        const GuideTick& next = path.seconds[i];
        const bool midway = far_from_long(one) >= 0.5 * steps.long_s - 1.0 &&
                            far_from_long(next) >= 0.5 * steps.long_s - 1.0 &&
                            next.time_s - one.time_s < 1.5;
        if (!midway) continue;
        const Vec2 way = next.place - one.place;
        const double length = glm::length(way);
        if (length < 0.2 * letter || glm::dot(one.along, next.along) < 0.6) continue;
        const Vec2 middle =
            0.5 * (one.place + next.place) + 0.125 * length * (one.along - next.along);
        if (is_near_end(path, middle, 1.2 * letter) || is_crowded(path, middle, 0.5 * letter))
            continue;
        draw_head(ink, colour, middle, way / length);
        ++drawn;
        i += static_cast<std::size_t>(std::max(0.0, 0.5 * steps.long_s - 1.0));
    }
    if (drawn > 0 || path.seconds.empty()) return;
    const GuideTick& tick = path.seconds[path.seconds.size() / 2];
    if (!is_near_end(path, tick.place, 1.2 * letter))
        draw_head(ink, colour, tick.place, tick.along);
}

void draw_ends(GuideInk& ink, Colour8 colour, const GuidePath& path) {
    const double letter = ink.sizes().letter;
    if (path.start) ink.disc(colour, *path.start, start_radius_letters * letter);
    if (path.end) ink.ring(colour, *path.end, end_radius_letters * letter, 1.6 * ink.sizes().hair);
}

}  // namespace lampflight
