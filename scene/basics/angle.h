// Angles: degrees at the edges of the program, radians inside; bearings clockwise from north.
#pragma once

#include <cmath>
#include <numbers>

#include "scene/basics/vector.h"

namespace lampflight {

constexpr double pi = std::numbers::pi;

constexpr double radians(double angle_deg) {
    return angle_deg * (pi / 180.0);
}
constexpr double degrees(double angle_rad) {
    return angle_rad * (180.0 / pi);
}

/// Unit vector of a bearing (radians clockwise from north) and an altitude (radians above level).
inline Vec3 direction_of(double bearing_rad, double altitude_rad = 0.0) {
    return {std::sin(bearing_rad) * std::cos(altitude_rad),
            std::cos(bearing_rad) * std::cos(altitude_rad), std::sin(altitude_rad)};
}

/// Bearing of a direction, radians in [0, 2 pi); 0 for a vertical one.
inline double bearing_of(const Vec3& direction) {
    const double bearing_rad = std::atan2(direction.x, direction.y);
    return bearing_rad < 0.0 ? bearing_rad + 2.0 * pi : bearing_rad;
}

}  // namespace lampflight
