// Visibility and wind of the air about the place, as the scene states them.
#pragma once

#include <optional>

#include "scene/basics/vector.h"

namespace lampflight {

struct Air {
    /// Meteorological range at the place: as far off as a black thing stands out by a fiftieth.
    double visibility_km = 40.0;
    double wind_m_s = 0.0;       ///< steady, at the height of the flight
    double wind_from_deg = 0.0;  ///< bearing from which it blows
    std::optional<double> gust_m_s;  ///< speed of the wind in gusts; steady without
    double gust_s = 6.0;             ///< for how long a gust lasts: correlation time
};

/// Velocity of the steady wind.
Vec3 wind_m_s(const Air& air);

}  // namespace lampflight
