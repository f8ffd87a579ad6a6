// Skylight as the scene states it: a fixed level and colour, or what a place adds to sun and moon.
#pragma once

#include <optional>

namespace lampflight {

/// A town's dome of light; both or none.
struct Town {
    std::optional<double> bearing_deg;
    std::optional<double> horizontal_lx;  ///< on open level ground, from the dome alone
};

struct SkyLight {
    double horizontal_lx = 0.2;              ///< on open level ground, without the lamps
    double temperature_k = 9000.0;           ///< of that light
    std::optional<double> glow_bearing_deg;  ///< where the afterglow stands, if there is one

    // With a place, instead of the three above:
    double night_mag_arcsec2 = 21.5;  ///< at the zenith with neither sun nor moon (V)
    double cloud_share = 0.0;         ///< of the sky's dome under cloud
    Town town{};
    double want_stops = -1.5;  ///< where the sky should come, from mid-grey
};

}  // namespace lampflight
