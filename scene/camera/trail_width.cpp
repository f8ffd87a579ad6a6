#include "scene/camera/trail_width.h"

#include <algorithm>
#include <cmath>

#include "scene/camera/depth_of_field.h"

namespace lampflight {

double trail_width_mm(const Camera& camera, double f_number, double face_m, double depth_m) {
    const double face_mm = camera.focal_mm * face_m / depth_m;
    return std::hypot(face_mm, blur_circle_mm(camera, f_number, depth_m));
}

double diffraction_width_mm(double f_number) {
    constexpr double green_mm = 550e-6;
    return 1.02899 * green_mm * f_number;
}

double line_width_px(const Camera& camera, double f_number, double face_m, double depth_m) {
    const double width_mm = std::hypot(trail_width_mm(camera, f_number, face_m, depth_m),
                                       diffraction_width_mm(f_number));
    return std::max(1.0, width_mm / pixel_pitch_mm(camera).x);
}

}  // namespace lampflight
