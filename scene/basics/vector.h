// Vectors and colour triples. World axes are east, north, up in metres.
#pragma once

#include <glm/glm.hpp>

namespace lampflight {

using Vec2 = glm::dvec2;
using Vec3 = glm::dvec3;

/// Linear Rec. 709 triple; `luminance` of it is in the photometric unit its holder names.
using Rgb = glm::dvec3;

/// Rec. ITU-R BT.709-6, item 3.3: weights of the linear primaries in luminance.
constexpr Rgb luminance_weights{0.2126, 0.7152, 0.0722};

inline double luminance(const Rgb& colour) {
    return glm::dot(colour, luminance_weights);
}
inline float luminance(const glm::vec3& colour) {
    return glm::dot(colour, glm::vec3(luminance_weights));
}

}  // namespace lampflight
