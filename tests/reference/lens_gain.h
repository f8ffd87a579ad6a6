// What the lens makes of luminance, worked out by itself for the tests that hold films to a truth.
#pragma once

#include <cmath>

#include "scene/basics/angle.h"
#include "scene/camera/camera.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

/// From luminance over time (cd s/m2) to exposure: q / N^2 with q by ISO 12232.
inline double lens_gain(const Shoot& shoot, const Take& take, const Projection& projection,
                        const Vec2& film_px) {
    const double f_number = settings_of(shoot, take).f_number;
    return pi / 4.0 * shoot.camera.lens.transmission * 0.98 *
           std::pow(projection.cos_off_axis(film_px), 4) / (f_number * f_number);
}

}  // namespace lampflight
