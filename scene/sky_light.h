// Light of the sky as the scene file states it: a fixed level and colour.
#pragma once

#include <optional>

namespace lampflight {

struct SkyLight {
    double horizontal_lx = 0.2;      ///< on open level ground, without the lamps
    double temperature_k = 9000.0;   ///< of that light
    std::optional<double> glow_bearing_deg;  ///< where the afterglow stands, if there is one
};

}  // namespace lampflight
