// Width on the film of the line that a moving lamp draws: its face imaged by the lens, defocus,
// diffraction.
#pragma once

#include "scene/camera/camera.h"

namespace lampflight {

/// Nearer than this along the axis a lamp is in the lens, whose glass begins some centimetres
/// before its pupil: it is not imaged. Common practice, no source.
constexpr double nearest_imaged_m = 0.05;

/// Diameter on the film, in millimetres, of the image of a face at a depth, with the circle of
/// defocus (depth_of_field.h) joined in quadrature; without diffraction.
double trail_width_mm(const Camera& camera, double f_number, double face_m, double depth_m);

/// Full width at half maximum, in millimetres, of a round opening's diffraction pattern in green
/// light of 550 nm: (2 J1(x) / x)^2 falls to a half at x = 1.61634, so 1.02899 lambda N.
double diffraction_width_mm(double f_number);

/// Both in quadrature, in pixels of the picture; a pixel at least, for nothing thinner shows.
double line_width_px(const Camera& camera, double f_number, double face_m, double depth_m);

}  // namespace lampflight
