// How a trail by itself would show in the photograph: spread by the lens, clipped and toned, with
// nothing else on the film.
#pragma once

#include "renderer/develop/sensor_response.h"
#include "renderer/film/trail_film.h"
#include "renderer/lens/point_spread.h"

namespace lampflight {

class TrailScreen {
public:
    /// Refers to the trail; `spread` is that of the settings' f-number.
    TrailScreen(const Camera& camera, const ExposureSettings& settings, const PointSpread& spread,
                const TrailFilm& trail);

    /// The strongest colour on the screen, 0 to 1, of this share of the light: between the middles
    /// of the film's parts by straight lines. The parts are pixels of the sensor, or nearly so: a
    /// reduced picture tells as much of a line as the whole one.
    double operator()(const Vec2& place_px, double light = 1.0) const;

    /// The trail's own light on the film at a place, luminance in lux seconds before the lens
    /// spreads it.
    double light_lxs(const Vec2& place_px) const;

    bool holds(const Vec2& place_px) const;
    glm::ivec2 pixels() const { return {spread_lxs_.width, spread_lxs_.height}; }
    double part_px() const { return 1.0 / trail_.side(); }

private:
    double part(int x, int y, float light) const;

    const TrailFilm& trail_;
    SensorResponse sensor_;
    glm::vec3 kept_;
    Image spread_lxs_;  ///< what comes to a pixel from others
};

}  // namespace lampflight
