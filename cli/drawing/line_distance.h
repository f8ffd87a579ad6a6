// Distance from a place to a straight piece of a line.
#pragma once

#include <algorithm>

#include "scene/basics/vector.h"

namespace lampflight {

/// In the unit of its arguments; to the point where both ends are one.
inline double line_distance(const Vec2& place, const Vec2& from, const Vec2& to) {
    const Vec2 along = to - from;
    const double length2 = glm::dot(along, along);
    const double part =
        length2 > 0.0 ? std::clamp(glm::dot(place - from, along) / length2, 0.0, 1.0) : 0.0;
    return glm::length(place - from - part * along);
}

}  // namespace lampflight
