#include "scene/camera/lens_light.h"

#include <cmath>

#include "scene/camera/exposure.h"

namespace lampflight {

LensLight::LensLight(const Camera& camera)
    : projection_(camera),
      transmission_(camera.lens.transmission),
      corner_stops_(camera.lens.corner_stops),
      focal_mm_(camera.focal_mm),
      pitch_mm_(pixel_pitch_mm(camera)),
      centre_px_(Vec2(camera.pixels) / 2.0),
      corner_mm2_(0.25 * glm::dot(camera.sensor_mm, camera.sensor_mm)) {}

double LensLight::factor(const Vec2& film_px) const {
    return lens_factor(transmission_, projection_.cos_off_axis(film_px)) * corner_share(film_px) /
           projection_.area_growth(film_px);
}

double LensLight::corner_share(const Vec2& film_px) const {
    if (corner_stops_ <= 0.0) return 1.0;
    const Vec2 off_mm = (film_px - centre_px_) * pitch_mm_;
    const double height2 = glm::dot(off_mm, off_mm) / corner_mm2_;
    return std::exp2(-corner_stops_ * height2 * height2);
}

double LensLight::point_gain(double f_number) const {
    const double pixel_m2 = pitch_mm_.x * pitch_mm_.y * 1e-6;
    const double pupil_m = focal_mm_ * 1e-3 / f_number;
    return lens_factor(transmission_, 1.0) * pupil_m * pupil_m / pixel_m2;
}

}  // namespace lampflight
