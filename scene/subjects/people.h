// People among the subjects, and where their eyes are.
#pragma once

#include "scene/subjects/mesh.h"
#include "scene/subjects/subject.h"

namespace lampflight {

/// The built-in person, a mesh with a word for one in its name, or whoever takes no part.
bool is_person(const Subject& subject);

/// Where a person's eyes are, at 0.93 of the height of its mesh.
Vec3 eyes_of(const Mesh& person);

}  // namespace lampflight
