#include "cli/sheets/guide_ticks.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace lampflight {
namespace {

bool is_multiple(double time_s, double step_s) {
    return std::abs(std::remainder(time_s, step_s)) < 1e-6;
}

/// The share of ticks that lie closer to the one before than `least_px`.
double crowded_share(std::span<const GuidePath> paths, double step_s, double least_px) {
    double crowded = 0.0, all = 0.0;
    for (const GuidePath& path : paths) {
        const GuideTick* before = nullptr;
        for (const GuideTick& tick : path.seconds) {
            if (!is_multiple(tick.time_s, step_s)) continue;
            if (before != nullptr) {
                all += 1.0;
                if (glm::distance(before->place, tick.place) < least_px) crowded += 1.0;
            }
            before = &tick;
        }
    }
    return all > 0.0 ? crowded / all : 0.0;
}

}  // namespace

TickSteps tick_steps(std::span<const GuidePath> paths, double least_px) {
    constexpr std::array<TickSteps, 8> steps{{{1.0, 5.0},
                                              {2.0, 10.0},
                                              {5.0, 30.0},
                                              {10.0, 60.0},
                                              {30.0, 120.0},
                                              {60.0, 300.0},
                                              {300.0, 1800.0},
                                              {1800.0, 7200.0}}};
    constexpr double most_crowded = 0.25;
    for (const TickSteps& step : steps)
        if (crowded_share(paths, step.short_s, least_px) <= most_crowded) return step;
    return steps.back();
}

PathTicks ticks_of(const GuidePath& path, const TickSteps& steps, double least_px) {
    PathTicks ticks;
    std::vector<Vec2> kept;
    const auto is_near = [&](const Vec2& place, const Vec2& tick) {
        return glm::distance(place, tick) < least_px;
    };
    for (const auto& end : {path.start, path.end})
        if (end) kept.push_back(*end);
    const std::size_t ends = kept.size();
    for (const GuideTick& tick : path.seconds) {
        if (!is_multiple(tick.time_s, steps.long_s)) continue;
        if (std::any_of(kept.begin(), kept.begin() + static_cast<std::ptrdiff_t>(ends),
                        [&](const Vec2& end) { return is_near(end, tick.place); }))
            continue;
        ticks.long_ones.push_back(tick);
        kept.push_back(tick.place);
    }
    for (const GuideTick& tick : path.seconds) {
        if (!is_multiple(tick.time_s, steps.short_s) || is_multiple(tick.time_s, steps.long_s))
            continue;
        if (std::ranges::any_of(kept,
                                [&](const Vec2& place) { return is_near(place, tick.place); }))
            continue;
        if (is_crowded(path, tick.place, least_px)) continue;
        kept.push_back(tick.place);
        ticks.short_ones.push_back(tick);
    }
    return ticks;
}

bool is_crowded(const GuidePath& path, const Vec2& place, double radius_px) {
    constexpr double most_radii = 3.0;  // a straight line has two within
    double within_px = 0.0;
    for (const GuideStretch& stretch : path.stretches)
        for (std::size_t i = 1; i < stretch.places.size(); ++i) {
            const Vec2 middle = 0.5 * (stretch.places[i - 1] + stretch.places[i]);
            if (glm::distance(middle, place) < radius_px)
                within_px += glm::distance(stretch.places[i - 1], stretch.places[i]);
        }
    return within_px > most_radii * radius_px;
}

}  // namespace lampflight
