#include "scene/camera/depth_of_field.h"

#include <limits>

namespace lampflight {
namespace {

/// f^2 / (N (s - f)) in millimetres: the circle of what is infinitely far.
double far_circle_mm(const Camera& camera, double f_number) {
    return camera.focal_mm * camera.focal_mm /
           (f_number * (camera.focus_m * 1000.0 - camera.focal_mm));
}

}  // namespace

double blur_circle_mm(const Camera& camera, double f_number, double depth_m) {
    return far_circle_mm(camera, f_number) * (1.0 - camera.focus_m / depth_m);
}

SharpRange sharp_range(const Camera& camera, double f_number, double limit_mm) {
    const double of_far = limit_mm / far_circle_mm(camera, f_number);
    const double far_m =
        of_far < 1.0 ? camera.focus_m / (1.0 - of_far) : std::numeric_limits<double>::infinity();
    return {camera.focus_m / (1.0 + of_far), far_m};
}

double sharp_circle_mm(const Camera& camera) {
    return glm::length(camera.sensor_mm) / 1500.0;
}

}  // namespace lampflight
