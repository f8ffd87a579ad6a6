// Multiple scattering: light that the air scatters twice and more. Orders above the first are taken
// as even in direction: a table by height and sun altitude, cubic in the latter, for straight
// pieces showed as jerks in the colour of dusk.
#pragma once

#include <vector>

#include "renderer/air/sun_through_air.h"

namespace lampflight {

/// A table by height and sun: light once scattered that reaches a point from all around, as if
/// scattered evenly, and a geometric series for the orders after it (Hillaire 2020, section 5.5).
class MultipleScattering {
public:
    explicit MultipleScattering(const SunThroughAir& sunlight);

    /// Mean radiance at a height for irradiance 1 outside the air.
    Bands at(double height_m, double sun_altitude_rad) const;

private:
    std::vector<Bands> log_light_;
};

}  // namespace lampflight
