// Axis-aligned bounding box in the world.
#pragma once

#include "scene/subjects/subject.h"

namespace lampflight {

struct Box {
    Vec3 low_m;
    Vec3 high_m;

    Vec3 middle_m() const { return 0.5 * (low_m + high_m); }
};

/// Box of a subject's placed mesh; a person's size about its position while it has no mesh.
Box box_of(const Subject& subject);

}  // namespace lampflight
