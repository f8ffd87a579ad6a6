// Signal lights: how strong a flash looks, how far a light is seen at night, how its dots lie.
#pragma once

namespace lampflight {

/// The least illuminance at the eye by which a light is made out at night, in lux: COLREG annex I,
/// section 8 (33 CFR 84.15).
constexpr double night_threshold_lx = 2e-7;

/// Effective intensity of a flash of even strength by Blondel and Rey: I t / (t + 0.2 s), in cd.
double effective_intensity_cd(double intensity_cd, double on_s);

/// Extinction of air by its meteorological range, 3.912 / visibility (Koschmieder 1924), in 1/m.
double extinction_per_m(double visibility_km);

/// Distance at which a light brings the threshold above to the eye: Allard's law,
/// E = I exp(-extinction d) / d^2. In metres; 0 for no light.
double seen_from_m(double intensity_cd, double extinction_per_m);

/// From one dot of a flashing light to the next along its trail, in metres.
double dots_apart_m(double speed_m_s, double per_minute);

}  // namespace lampflight
