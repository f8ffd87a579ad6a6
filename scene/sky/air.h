// Visibility of the air about the place, as the scene states it.
#pragma once

namespace lampflight {

struct Air {
    /// Meteorological range at the place: as far off as a black thing stands out by a fiftieth.
    double visibility_km = 40.0;
    double wind_m_s = 0.0;       ///< steady, at the height of the flight
    double wind_from_deg = 0.0;  ///< bearing from which it blows
};

}  // namespace lampflight
