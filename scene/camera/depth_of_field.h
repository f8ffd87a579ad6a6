// Depth of field of a thin lens, by its circle of confusion.
#pragma once

#include "scene/camera/camera.h"

namespace lampflight {

/// Diameter on the film in millimetres of the image of a point at a depth along the axis:
/// c = f^2 / (N (s - f)) (D - s) / D, negative for what lies nearer than the focus (thin lens).
/// The depth may be infinity.
double blur_circle_mm(const Camera& camera, double f_number, double depth_m);

/// Depths whose circle is no wider than a limit; `far_m` is infinity beyond the hyperfocal
/// distance.
struct SharpRange {
    double near_m;
    double far_m;
};

SharpRange sharp_range(const Camera& camera, double f_number, double limit_mm);

/// The circle that still counts as a point in a picture seen as a whole: a 1500th of the frame's
/// diagonal, 0.029 mm on 36 x 24 (common practice, no source).
double sharp_circle_mm(const Camera& camera);

}  // namespace lampflight
