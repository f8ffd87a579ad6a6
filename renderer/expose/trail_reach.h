// How many pixels trails reach, told before they are drawn.
#pragma once

#include "scene/camera/exposure.h"
#include "scene/shoot/placed_shoot.h"
#include "scene/shoot/lit_lamp.h"

namespace lampflight {

/// Pixels of the picture that a lamp's trail reaches at most, as if nothing stood before it; to
/// about a thousandth of the frame's longer side.
double reached_pixels(const Camera& camera, double f_number, const LitLamp& lit);

/// Those that stars, sun and moon reach at most, with a place, in a take.
double reached_by_sky(const Shoot& shoot, const ExposureSettings& settings);

}  // namespace lampflight
