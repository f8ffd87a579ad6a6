// Light straight from the sun or the moon.
#pragma once

#include <glm/glm.hpp>

namespace lampflight {

/// The disc of the sun or the moon.
struct DirectLight {
    glm::vec3 direction;  ///< unit, towards it
    glm::vec3 normal_lx;  ///< linear Rec. 709 lux on a plane that faces it
    float radius_rad;
};

}  // namespace lampflight
