#include "renderer/air/sun_through_air.h"

#include <algorithm>
#include <cmath>

#include <tbb/parallel_for.h>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

constexpr double disc_radius_rad = 0.0047;
constexpr int heights = 64;
constexpr int angles = 96;

AirColumns mixed(const AirColumns& one, const AirColumns& other, float share) {
    return {std::lerp(one.gas, other.gas, share), std::lerp(one.haze, other.haze, share),
            std::lerp(one.ozone, other.ozone, share)};
}

double angle_rad(int row) {
    const double share = row / (angles - 1.0);
    return -disc_radius_rad + (0.75 * pi) * share * share;
}

/// Share of the disc above a horizon.
float disc_share(double above_rad) {
    const double x = std::clamp(0.5 + 0.5 * above_rad / disc_radius_rad, 0.0, 1.0);
    return static_cast<float>(x * x * (3.0 - 2.0 * x));
}

}  // namespace

double dip_rad(double height_m) {
    return std::acos(std::min(1.0, earth_radius_m / (earth_radius_m + height_m)));
}

SunThroughAir::SunThroughAir(const AirOptics& air)
    : air_(air), columns_(static_cast<std::size_t>(heights * angles)) {
    tbb::parallel_for(0, heights, [&](int row) {
        const double share = row / (heights - 1.0);
        const double height_m = air_top_m * share * share;
        for (int angle = 0; angle < angles; ++angle) {
            const double altitude_rad = std::min(angle_rad(angle) - dip_rad(height_m), 0.5 * pi);
            columns_[static_cast<std::size_t>(row * angles + angle)] =
                columns_to_space(air_, height_m, std::sin(altitude_rad));
        }
    });
}

AirColumns SunThroughAir::columns(double height_m, double above_rad) const {
    const Between row =
        between(std::sqrt(std::max(0.0, height_m) / air_top_m) * (heights - 1), heights);
    const Between column = between(
        std::sqrt(std::max(0.0, above_rad + disc_radius_rad) / (0.75 * pi)) * (angles - 1), angles);
    const AirColumns* at = &columns_[static_cast<std::size_t>(row.low * angles + column.low)];
    return mixed(mixed(at[0], at[1], column.share), mixed(at[angles], at[angles + 1], column.share),
                 row.share);
}

Bands SunThroughAir::towards_sun(double height_m, double above_rad) const {
    const float share = disc_share(above_rad);
    if (share <= 0.0f) return {};
    Bands through = transmittance(air_, columns(height_m, above_rad));
    for (float& value : through) value *= share;
    return through;
}

Bands SunThroughAir::from_place(double altitude_rad) const {
    return transmittance(air_, columns(0.0, std::max(0.0, altitude_rad)));
}

}  // namespace lampflight
