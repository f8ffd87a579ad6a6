// How many pixels trails reach, told before they are drawn.
#pragma once

#include "scene/camera/exposure.h"
#include "scene/shoot/lit_lamp.h"
#include "scene/shoot/placed_shoot.h"

namespace lampflight {

/// Pixels of the picture that a lamp's trail keeps on film at most, as if nothing stood before it:
/// whole runs of them, to about a thousandth of the frame.
double reached_pixels(const Camera& camera, double f_number, const LitLamp& lit);

/// Those that stars, sun and moon reach at most, with a place, in a take.
double reached_by_sky(const Shoot& shoot, const ExposureSettings& settings);

}  // namespace lampflight
