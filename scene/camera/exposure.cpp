#include "scene/camera/exposure.h"

#include <cmath>
#include <limits>

#include "scene/basics/angle.h"

namespace lampflight {

double lens_factor(double lens_transmission, double cos_off_axis) {
    const double cos_squared = cos_off_axis * cos_off_axis;
    return pi / 4.0 * lens_transmission * lens_vignetting * cos_squared * cos_squared;
}

double exposure_value(const ExposureSettings& settings) {
    return std::log2(settings.f_number * settings.f_number / settings.shutter_s);
}

double ev100(const ExposureSettings& settings) {
    return exposure_value(settings) - std::log2(settings.iso / 100.0);
}

double focal_plane_exposure_lxs(double film_cd_m2, double open_s, double f_number) {
    return film_cd_m2 * open_s / (f_number * f_number);
}

double mid_grey_lxs(double iso) {
    return 10.0 / iso;
}

double saturation_lxs(double iso) {
    return 78.0 / iso;
}

double stops_from_mid_grey(double exposure_lxs, double iso) {
    if (exposure_lxs <= 0.0) return -std::numeric_limits<double>::infinity();
    return std::log2(exposure_lxs / mid_grey_lxs(iso));
}

}  // namespace lampflight
