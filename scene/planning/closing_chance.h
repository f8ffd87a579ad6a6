// Closing chance: in how many of many goes the line meets its own beginning, as the drone strays.
#pragma once

#include <optional>

#include "scene/shoot/flown_flight.h"

namespace lampflight {

/// Bounds of a share.
struct ShareRange {
    double low, high;
};

/// The Wilson score interval of a share, at 95 % (Wilson 1927, J. Am. Stat. Assoc. 22, 209-212), of
/// `count` out of `of`, which is positive.
ShareRange wilson_95(int count, int of);

struct ClosingChance {
    double wander_m;  ///< as the flight states it, else `common_wander_m`
    double gap_m;     ///< within which a line counts as closed
    int flights;      ///< goes at it
    int closed;       ///< goes that did
    ShareRange range;
    double median_m;  ///< half of the goes come nearer than this

    double chance() const { return static_cast<double>(closed) / flights; }
};

/// How near the last quarter of the line that a flight draws, by time, comes to the line's first
/// point, at the goes 1 to 200, the shutter included: what the plan leaves open counts. It is the
/// shape's line while the shutter is open, of a lamp that is lit all along, sampled as a chain of
/// straight pieces. For flights that close by plan (closure.h); nothing for one that is to wander
/// by 0 m, or that is not in the air while the shutter is open.
std::optional<ClosingChance> closing_chance(const Shoot& shoot, const Take& take,
                                            const FlownFlight& flown);

}  // namespace lampflight
