// Transmittance: what is left of sunlight at a height in the air: a table of the columns towards
// the sun.
#pragma once

#include <vector>

#include "renderer/air/air_column.h"

namespace lampflight {

/// A place between two entries of a table.
struct Between {
    int low;
    float share;  ///< of the way to the next
};

inline Between between(double at, int count) {
    const double held = std::clamp(at, 0.0, count - 1.000001);
    const int low = static_cast<int>(held);
    return {low, static_cast<float>(held - low)};
}

/// Depression of the horizon, at which a height sees the ground end.
double dip_rad(double height_m);

class SunThroughAir {
public:
    explicit SunThroughAir(const AirOptics& air);

    const AirOptics& air() const { return air_; }

    /// Transmittance towards a disc of half a degree, soft into the Earth's shadow. `above_rad` is
    /// the altitude of its middle above the horizon that this height sees.
    Bands towards_sun(double height_m, double above_rad) const;

    /// Transmittance from the place to space at an altitude above the horizon.
    Bands from_place(double altitude_rad) const;

private:
    AirColumns columns(double height_m, double above_rad) const;

    AirOptics air_;
    std::vector<AirColumns> columns_;
};

}  // namespace lampflight
