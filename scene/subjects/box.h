// Axis-aligned bounding boxes, in the world.
#pragma once

#include "scene/subjects/mesh.h"

namespace lampflight {

struct Box {
    Vec3 low_m;
    Vec3 high_m;

    Vec3 middle_m() const { return 0.5 * (low_m + high_m); }
};

/// The smallest box about a mesh that has vertices.
Box box_of(const Mesh& mesh);

}  // namespace lampflight
