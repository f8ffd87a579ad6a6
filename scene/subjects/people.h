// People among the subjects.
#pragma once

#include "scene/subjects/subject.h"

namespace lampflight {

/// The built-in person, or a mesh with a word for one in its name.
bool is_person(const Subject& subject);

}  // namespace lampflight
