// Grain: relief and tint of a surface finer than its mesh, as noise in space.
#pragma once

#include <glm/glm.hpp>

#include "scene/mesh.h"

namespace lampflight {

struct Grained {
    glm::vec3 normal;
    float tint;  ///< factor on the reflectance, 1 on average
};

/// The surface at a place, averaged over a patch of the given side in metres: waves about as short
/// as the patch are left out and those of 2.5 patches kept whole, as a sharp lens would.
Grained with_grain(Grain grain, const glm::vec3& position_m, const glm::vec3& normal,
                   float patch_m);

}  // namespace lampflight
