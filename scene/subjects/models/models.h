// The built-in subjects, made in code at load. Each stands on z = 0 about the origin, front to -y
// (south), in metres, with vertices no further apart than a few centimetres.
#pragma once

#include "scene/subjects/mesh.h"
#include "scene/subjects/subject.h"

namespace lampflight {

/// A standing adult, 1.75 m tall, in outdoor clothes with a hood.
Mesh person_mesh();

/// A broken masonry arch, 4.6 m tall with an opening 2.4 m wide, one side fallen.
Mesh arch_mesh();

/// A weathered boulder, about 2.6 m long and 1.9 m tall, bedded a little into the ground.
Mesh boulder_mesh();

/// A weathered stone slab set upright, 3.5 m tall, leaning a little, wedged at its foot.
Mesh standing_stone_mesh();

Mesh model_mesh(Model model);

}  // namespace lampflight
