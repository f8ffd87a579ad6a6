// Light straight from the sun or the moon.
#pragma once

#include <glm/glm.hpp>

namespace lampflight {

/// The disc of the sun or the moon.
struct DirectLight {
    glm::vec3 direction;  ///< unit, towards it
    glm::vec3 normal_lx;  ///< linear Rec. 709 lux on a plane that faces it
    float radius_rad;
    const char* name = "sun";     ///< or "moon"
    float lit = 1.0f;             ///< lit share of the disc
    glm::vec3 bright_limb{0.0f};  ///< unit, across the direction, towards what lights it
};

}  // namespace lampflight
