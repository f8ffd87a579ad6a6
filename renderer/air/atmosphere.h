// Single scattering: light of the sun or the moon that the air of a round Earth scatters towards
// the ground.
#pragma once

#include "renderer/air/multiple_scattering.h"
#include "renderer/air/sun_through_air.h"

namespace lampflight {

/// Sun or moon as the march takes it.
struct LitFrom {
    double altitude_rad;       ///< airless: where the light that reaches the air comes from
    double seen_altitude_rad;  ///< refracted: about where the glow stands
};

/// Radiance for irradiance 1 outside the air.
struct Scattered {
    Bands smooth;     ///< all but the haze's peak
    Bands haze_once;  ///< light scattered once by haze, to be multiplied with the peak
};

class Atmosphere {
public:
    explicit Atmosphere(const AirOptics& air);

    const AirOptics& air() const { return sunlight_.air(); }
    const SunThroughAir& sunlight() const { return sunlight_; }

    /// Seen from the place. `view_altitude_rad` from 0 up; `bearing_rad` between view and body.
    Scattered radiance(double view_altitude_rad, double bearing_rad, const LitFrom& body) const;

private:
    SunThroughAir sunlight_;
    MultipleScattering higher_;
};

}  // namespace lampflight
