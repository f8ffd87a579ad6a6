#include "renderer/air/air_column.h"

#include <algorithm>
#include <cmath>

namespace lampflight {
namespace {

constexpr double gas_scale_m = 8000.0;
constexpr double haze_scale_m = 1200.0;
constexpr double ozone_peak_m = 25e3;
constexpr double ozone_half_width_m = 15e3;

double height_along(double radius_m, double zenith_cosine, double t_m) {
    return std::sqrt(std::max(
               0.0, radius_m * radius_m + t_m * t_m + 2.0 * radius_m * zenith_cosine * t_m)) -
           earth_radius_m;
}

}  // namespace

AirOptics air_optics(double visibility_km, double elevation_m, double angstrom_exponent) {
    AirOptics air;
    air.ground_m = elevation_m;
    const double thinned = std::exp(-elevation_m / gas_scale_m);
    const double all_550 = 3.912 / (1e3 * visibility_km);
    const double haze_550 = std::max(1e-7, all_550 - thinned * rayleigh_per_m(550.0));
    for (std::size_t band = 0; band < band_count; ++band) {
        const double nm = band_nm(band);
        const double haze = haze_550 * std::pow(nm / 550.0, -angstrom_exponent);
        air.gas[band] = static_cast<float>(thinned * rayleigh_per_m(nm));
        air.haze[band] = static_cast<float>(haze);
        air.haze_scattering[band] = static_cast<float>(0.9 * haze);
        double ozone = 0.0;
        for (const double off_nm : {-10.0, 0.0, 10.0}) ozone += ozone_per_m(nm + off_nm) / 3.0;
        air.ozone[band] = static_cast<float>(ozone);
    }
    return air;
}

void add(AirColumns& sum, const AirColumns& density, double length_m) {
    const auto length = static_cast<float>(length_m);
    sum.gas += density.gas * length;
    sum.haze += density.haze * length;
    sum.ozone += density.ozone * length;
}

AirColumns density_at(const AirOptics& air, double height_m) {
    const auto height = static_cast<float>(std::max(0.0, height_m));
    const float from_peak = std::abs(height + static_cast<float>(air.ground_m - ozone_peak_m));
    return {std::exp(-height / static_cast<float>(gas_scale_m)),
            std::exp(-height / static_cast<float>(haze_scale_m)),
            std::max(0.0f, 1.0f - from_peak / static_cast<float>(ozone_half_width_m))};
}

double length_to_space(double radius_m, double zenith_cosine) {
    const double top_m = earth_radius_m + air_top_m;
    const double along_m = radius_m * zenith_cosine;
    return -along_m +
           std::sqrt(std::max(0.0, along_m * along_m + top_m * top_m - radius_m * radius_m));
}

AirColumns columns_to_space(const AirOptics& air, double height_m, double zenith_cosine) {
    constexpr int steps = 160;
    const double radius_m = earth_radius_m + height_m;
    const double length_m = length_to_space(radius_m, zenith_cosine);
    AirColumns sum;
    // From the lowest point the density falls fastest, so steps widen from there.
    const double lowest_m = std::clamp(-radius_m * zenith_cosine, 0.0, length_m);
    for (const double end_m : {0.0, length_m}) {
        const double span_m = end_m - lowest_m;
        if (span_m == 0.0) continue;
        for (int i = 0; i < steps / 2; ++i) {
            const double share = (i + 0.5) / (steps / 2);
            const double t_m = lowest_m + span_m * share * share;
            add(sum, density_at(air, height_along(radius_m, zenith_cosine, t_m)),
                std::abs(span_m) * 2.0 * share / (steps / 2));
        }
    }
    return sum;
}

float optical_depth(const AirOptics& air, std::size_t band, const AirColumns& columns) {
    return air.gas[band] * columns.gas + air.haze[band] * columns.haze +
           air.ozone[band] * columns.ozone;
}

Bands transmittance(const AirOptics& air, const AirColumns& columns) {
    Bands powers{};
    for (std::size_t band = 0; band < band_count; ++band)
        powers[band] = -optical_depth(air, band, columns);
    return exp_of(powers);
}

}  // namespace lampflight
