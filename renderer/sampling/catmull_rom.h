// Catmull-Rom spline: the cubic through four values an equal step apart.
#pragma once

#include <glm/glm.hpp>

namespace lampflight {

/// Weights of the four for a place between the second and the third.
inline glm::vec4 catmull_rom(float share) {
    const float s2 = share * share;
    const float s3 = s2 * share;
    return 0.5f * glm::vec4(-s3 + 2.0f * s2 - share, 3.0f * s3 - 5.0f * s2 + 2.0f,
                            -3.0f * s3 + 4.0f * s2 + share, s3 - s2);
}

}  // namespace lampflight
