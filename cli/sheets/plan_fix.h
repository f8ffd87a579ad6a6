// A place as it is found from another with a compass, a tape and paces.
#pragma once

#include <optional>
#include <string>

#include "scene/basics/vector.h"

namespace lampflight {

/// A grown person's walking pace. Common practice, no source.
constexpr double pace_m = 0.75;

struct PlanFix {
    double bearing_deg;                  ///< from true north, in [0, 360); 0 for the same place
    std::optional<double> magnetic_deg;  ///< from magnetic north, where the scene tells its side
    double distance_m;                   ///< along level ground
    int paces;
    Vec2 east_north_m;
};

/// `declination_deg` is how far east of true north magnetic north lies.
PlanFix plan_fix(const Vec3& from_m, const Vec3& to_m,
                 const std::optional<double>& declination_deg);

/// Whole degrees as a compass shows them: "0°" to "359°".
std::string bearing_text(double bearing_deg);

/// Metres as a tape is read: "3.2 m", "15.3 m", "204 m".
std::string tape_text(double length_m);

}  // namespace lampflight
