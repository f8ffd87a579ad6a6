// Vignetting: how much of the light that is sent to a lens arrives where on the film, by natural
// falloff, by the loss towards the corners, and drawn together or apart by distortion. Everything
// that the lens passes, surfaces, sky, trails and stars, takes it from here.
#pragma once

#include "scene/camera/camera.h"

namespace lampflight {

class LensLight {
public:
    explicit LensLight(const Camera& camera);

    /// q of H = q L t / N^2 at a film position: (pi/4) T v cos^4(theta) of ISO 12232 by the true
    /// angle, times the corner's share, over the area that distortion makes of the rectilinear
    /// image's: it moves light and loses none.
    double factor(const Vec2& film_px) const;

    /// Share of light left by `corner_stops` of the lens: 2^-(stops (h/h_corner)^4), h the image
    /// height. Rims in the barrel cut in late and then steeply (common practice, no source).
    double corner_share(const Vec2& film_px) const;

    /// Lux seconds, times a pixel's area, on the film from one lux second on a pupil that it meets
    /// head on: (pi/4) T v (f/N)^2 over the area of a pixel. For lights that are imaged as points,
    /// wherever on the film they fall; `corner_share` comes on top.
    double point_gain(double f_number) const;

private:
    Projection projection_;
    double transmission_;
    double corner_stops_;
    double focal_mm_;
    Vec2 pitch_mm_;
    Vec2 centre_px_;
    double corner_mm2_;
};

}  // namespace lampflight
