// A shoot with the meshes of its subjects in world space: what rays, boxes and distances need.
#pragma once

#include <vector>

#include "scene/shoot/shoot.h"
#include "scene/subjects/mesh.h"

namespace lampflight {

struct PlacedShoot : Shoot {
    std::vector<Mesh> meshes{};  ///< one a subject, in their order
};

}  // namespace lampflight
