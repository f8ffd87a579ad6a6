// Unit directions about a normal.
#pragma once

#include <cmath>
#include <cstdint>

#include <glm/glm.hpp>

#include "scene/basics/angle.h"

namespace lampflight {

struct Across {
    glm::vec3 tangent;
    glm::vec3 bitangent;
};

/// Two unit vectors across a unit direction (Duff et al. 2017, J. Computer Graphics Techniques 6).
inline Across across(const glm::vec3& n) {
    const float sign = std::copysign(1.0f, n.z);
    const float a = -1.0f / (sign + n.z);
    const float b = n.x * n.y * a;
    return {{1.0f + sign * n.x * n.x * a, sign * b, -sign * n.x}, {b, sign + n.y * n.y * a, -n.y}};
}

/// The signed axis that a direction is nearest to: 2 axis, or 2 axis + 1 against it.
inline std::uint8_t nearest_axis(const glm::vec3& direction) {
    const glm::vec3 size = glm::abs(direction);
    const int axis = size.x > size.y ? (size.x > size.z ? 0 : 2) : (size.y > size.z ? 1 : 2);
    return static_cast<std::uint8_t>(2 * axis + (direction[axis] < 0.0f ? 1 : 0));
}

/// A point of the unit disc, uniform for a uniform place in the unit square.
inline glm::vec2 on_disc(const glm::vec2& place) {
    const float radius = std::sqrt(place.x);
    const float angle = 2.0f * static_cast<float>(pi) * place.y;
    return {radius * std::cos(angle), radius * std::sin(angle)};
}

/// A direction about a normal with density cosine / pi (Malley's method: a disc lifted up).
inline glm::vec3 cosine_direction(const glm::vec3& normal, const glm::vec2& place) {
    const glm::vec2 disc = on_disc(place);
    const Across frame = across(normal);
    const float up = std::sqrt(std::max(0.0f, 1.0f - place.x));
    return disc.x * frame.tangent + disc.y * frame.bitangent + up * normal;
}

}  // namespace lampflight
