// Signed distance functions of shapes, in metres (negative inside), and ways to join them.
#pragma once

#include <algorithm>
#include <cmath>

#include "scene/basics/vector.h"

namespace lampflight {

/// The nearer of two shapes, with the seam rounded over about `blend_m`.
inline double joined(double a_m, double b_m, double blend_m) {
    const double h = std::max(blend_m - std::abs(a_m - b_m), 0.0) / blend_m;
    return std::min(a_m, b_m) - h * h * blend_m * 0.25;
}

/// What two shapes share, with the edge rounded over about `blend_m`.
inline double shared(double a_m, double b_m, double blend_m) {
    return -joined(-a_m, -b_m, blend_m);
}

/// A shape with another cut out of it.
inline double without(double a_m, double cut_m, double blend_m) {
    return shared(a_m, -cut_m, blend_m);
}

/// Ellipsoid about the origin: the first-order distance, right at the surface.
inline double ellipsoid(const Vec3& p, const Vec3& radii_m) {
    const double level = glm::length(p / radii_m);
    const double slope = glm::length(p / (radii_m * radii_m));
    return slope > 1e-9 ? level * (level - 1.0) / slope
                        : -std::min({radii_m.x, radii_m.y, radii_m.z});
}

/// A bone with flesh: from a to b, its radius changing evenly from one to the other.
inline double tapered(const Vec3& p, const Vec3& a, const Vec3& b, double radius_a_m,
                      double radius_b_m) {
    const Vec3 along = b - a;
    const double t = std::clamp(glm::dot(p - a, along) / glm::dot(along, along), 0.0, 1.0);
    return glm::distance(p, a + along * t) - (radius_a_m + (radius_b_m - radius_a_m) * t);
}

}  // namespace lampflight
