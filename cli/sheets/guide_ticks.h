// Ticks of time on planned paths: how far apart, and which of them have room.
#pragma once

#include <span>
#include <vector>

#include "cli/sheets/guide_path.h"

namespace lampflight {

/// Between ticks and between long ones, in seconds.
struct TickSteps {
    double short_s;
    double long_s;
};

/// The shortest steps, a second at least, at which no more than a quarter of the ticks lie closer
/// than `least_px`. For all paths of a picture alike, so that ticks can be compared.
TickSteps tick_steps(std::span<const GuidePath> paths, double least_px);

/// The ticks of a path at such steps, but for those at its start and end, which have marks of their
/// own.
struct PathTicks {
    std::vector<GuideTick>
        short_ones;  ///< where they crowd neither others nor other parts of the path
    std::vector<GuideTick> long_ones;
};
PathTicks ticks_of(const GuidePath& path, const TickSteps& steps, double least_px);

/// Whether more of the path lies about a place than passes through it.
bool is_crowded(const GuidePath& path, const Vec2& place, double radius_px);

}  // namespace lampflight
