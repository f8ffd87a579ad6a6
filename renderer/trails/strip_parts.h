// A strip of light as so many small lamps one below the other.
#pragma once

#include "scene/shoot/lit_lamp.h"

namespace lampflight {

/// As surfaces see it: parts short against any distance a drone keeps. 1 for a lamp.
int lit_parts(const LitLamp& lit);

/// As the lens sees it: parts that run together on a trail film of so many parts a pixel's side.
int drawn_parts(const Camera& camera, const ExposureSettings& settings, const LitLamp& lit,
                int film_side);

}  // namespace lampflight
