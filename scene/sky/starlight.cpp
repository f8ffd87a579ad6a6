#include "scene/sky/starlight.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"

namespace lampflight {

double star_lx(double magnitude) {
    return lux_of_magnitude_0 * std::pow(10.0, -0.4 * magnitude);
}

double star_temperature_k(double b_v) {
    const double scaled = 0.92 * std::clamp(b_v, -0.4, 2.5);
    return 4600.0 * (1.0 / (scaled + 1.7) + 1.0 / (scaled + 0.62));
}

double airmass(double altitude_deg) {
    const double h_deg = std::clamp(altitude_deg, 0.0, 90.0);
    return 1.0 / (std::sin(radians(h_deg)) + 0.50572 * std::pow(h_deg + 6.07995, -1.6364));
}

double declination_deg(const Vec3& direction, double latitude_deg) {
    const Vec3 pole{0.0, std::cos(radians(latitude_deg)), std::sin(radians(latitude_deg))};
    return degrees(std::asin(std::clamp(glm::dot(direction, pole), -1.0, 1.0)));
}

double star_trail_px(const Camera& camera, double shutter_s, double declination_deg) {
    const double turned_rad = std::min(sky_turn_rad_s * std::max(shutter_s, 0.0), 2.0 * pi);
    return camera.focal_mm / pixel_pitch_mm(camera).x * turned_rad *
           std::cos(radians(declination_deg));
}

}  // namespace lampflight
