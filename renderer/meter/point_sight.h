// What the line of sight through a named point meets: the point itself, something before it,
// something far behind it, or the sky.
#pragma once

#include <string>

#include "scene/basics/vector.h"

namespace lampflight {

class Geometry;
struct Shoot;

struct PointSight {
    enum class Meets { itself, nearer, farther, sky };

    Meets meets;
    std::string what;  ///< the subject's name or "ground"; "sky" for the sky
    double behind_m;   ///< from the point on to what is met, along the line of sight; minus: before
};

/// As seen from `lens_m`, in a geometry of the shoot. What is met counts as the point itself where
/// it stands within a hand's breadth of it, and where it keeps as near to the line of sight all the
/// way between: on ground seen at a grazing angle the line goes on far beyond a point just above.
PointSight point_sight(const Shoot& shoot, const Geometry& geometry, const Vec3& lens_m,
                       const Vec3& point_m);

}  // namespace lampflight
