// Sunlight in the air of a round Earth: how much comes through, and how much is scattered.
#pragma once

#include <vector>

#include "renderer/air_column.h"

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

/// Columns towards the sun and light of the second and higher orders, tabled for one air.
class Atmosphere {
public:
    explicit Atmosphere(const AirOptics& air);

    const AirOptics& air() const { return air_; }

    /// Transmittance towards a disc of half a degree: soft into the Earth's shadow.
    Bands towards_sun(double height_m, double sun_altitude_sine) const;

    /// Transmittance from the place to space at an altitude above the horizon.
    Bands through(double altitude_sine) const;

    /// Seen from the place. `view_altitude_rad` from 0 up; `bearing_rad` between view and body.
    Scattered radiance(double view_altitude_rad, double bearing_rad, const LitFrom& body) const;

private:
    void fill_columns();
    void fill_higher_orders();
    AirColumns sun_columns(double height_m, double above_horizon_rad) const;
    Bands higher_order(double height_m, double sun_altitude_sine) const;
    Bands higher_order_at(double height_m, double sun_altitude_rad) const;

    AirOptics air_;
    std::vector<AirColumns> columns_;
    std::vector<Bands> log_higher_;
};

}  // namespace lampflight
