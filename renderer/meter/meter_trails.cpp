#include "renderer/meter/meter_trails.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <string_view>

#include "renderer/develop/tone.h"
#include "renderer/meter/exposure_steps.h"
#include "scene/basics/angle.h"

namespace lampflight {
namespace {

constexpr double half_of_white = 0.5;

/// Shortest run of pixels through a place whose luminance stays at or above a level, in pixels.
double width_through(const TrailFilm& trail, const glm::ivec2& place, double level) {
    constexpr std::array<glm::ivec2, 4> ways{{{1, 0}, {0, 1}, {1, 1}, {1, -1}}};
    const auto bright = [&](const glm::ivec2& p) {
        return picture_luminance(trail.exposure_lxs(p.x, p.y)) >= level;
    };
    double shortest_px = std::numeric_limits<double>::infinity();
    for (const glm::ivec2& way : ways) {
        int count = 1;
        for (glm::ivec2 p = place + way; bright(p); p += way) ++count;
        for (glm::ivec2 p = place - way; bright(p); p -= way) ++count;
        shortest_px = std::min(shortest_px, count * glm::length(glm::dvec2(way)));
    }
    return shortest_px;
}

std::optional<TrailReading> read_trail(const TrailFilm& trail, const ExposedTake& take) {
    const std::vector<TrailPixel> pixels = trail.pixels();
    const auto brightest = std::ranges::max_element(
        pixels, {}, [](const TrailPixel& pixel) { return picture_luminance(pixel.mean_lxs); });
    const double peak_lxs = pixels.empty() ? 0.0 : picture_luminance(brightest->mean_lxs);
    if (!(peak_lxs > 0.0)) return std::nullopt;
    return TrailReading{take.name,
                        peak_lxs,
                        std::log2(peak_lxs / saturation_lxs(take.settings.iso)),
                        width_through(trail, {brightest->x, brightest->y}, 0.5 * peak_lxs),
                        Vec2(brightest->x, brightest->y) + 0.5,
                        {}};
}

/// A picture's strongest colour on the screen, 0 to 1, between the middles of its pixels by
/// straight lines.
class Screen {
public:
    explicit Screen(const Image& over_mid_grey) : picture_(over_mid_grey) {}

    bool holds(const Vec2& place_px) const {
        return place_px.x >= 0.0 && place_px.y >= 0.0 && place_px.x <= picture_.width &&
               place_px.y <= picture_.height;
    }

    double operator()(const Vec2& place_px) const {
        const Vec2 from_middle = place_px - 0.5;
        const Vec2 whole = glm::floor(from_middle);
        const Vec2 part = from_middle - whole;
        const int x = static_cast<int>(whole.x);
        const int y = static_cast<int>(whole.y);
        return std::lerp(std::lerp(pixel(x, y), pixel(x + 1, y), part.x),
                         std::lerp(pixel(x, y + 1), pixel(x + 1, y + 1), part.x), part.y);
    }

private:
    double pixel(int x, int y) const {
        const glm::vec3& light = picture_.at(std::clamp(x, 0, picture_.width - 1),
                                             std::clamp(y, 0, picture_.height - 1));
        return tone(static_cast<double>(std::max({light.r, light.g, light.b})));
    }

    const Image& picture_;
};

/// How far light stays at half of white from a place on; infinite when the frame or `most_px` ends
/// first.
double reach_px(const Screen& screen, const Vec2& place_px, const Vec2& way, double most_px) {
    constexpr double step_px = 0.25;
    double before = screen(place_px);
    for (double way_px = step_px; way_px <= most_px; way_px += step_px) {
        const Vec2 there_px = place_px + way_px * way;
        if (!screen.holds(there_px)) break;
        const double here = screen(there_px);
        if (here < half_of_white)
            return way_px - step_px * (half_of_white - here) / (before - here);
        before = here;
    }
    return std::numeric_limits<double>::infinity();
}

}  // namespace

std::optional<double> width_at_half_of_white(const Image& over_mid_grey, const Vec2& place_px) {
    constexpr int ways = 90;
    const Screen screen(over_mid_grey);
    if (screen(place_px) < half_of_white) return 0.0;
    double shortest_px = over_mid_grey.width + over_mid_grey.height;
    bool found = false;
    for (int i = 0; i < ways; ++i) {
        const double angle_rad = pi * i / ways;
        const Vec2 way{std::cos(angle_rad), std::sin(angle_rad)};
        const double width_px = reach_px(screen, place_px, way, shortest_px) +
                                reach_px(screen, place_px, -way, shortest_px);
        if (width_px >= shortest_px) continue;
        shortest_px = width_px;
        found = true;
    }
    return found ? std::optional(shortest_px) : std::nullopt;
}

std::map<std::string, TrailReading> read_trails(const std::vector<ExposedTake>& takes,
                                                const Image& picture) {
    std::map<std::string, TrailReading> trails;
    for (const ExposedTake& take : takes)
        for (const Layer& layer : take.layers) {
            if (layer.id.way != LightWay::trail) continue;
            const auto reading = read_trail(*layer.trail, take);
            if (!reading) continue;
            const auto [known, fresh] = trails.try_emplace(layer.id.lamp, *reading);
            if (!fresh && known->second.stops_over_saturation < reading->stops_over_saturation)
                known->second = *reading;
        }
    for (auto& [lamp, trail] : trails)
        trail.width_seen_px = width_at_half_of_white(picture, trail.peak_px);
    return trails;
}

}  // namespace lampflight
