#include "scene/sky/natural_light.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

/// log10 of lux by x, the altitude as a share of 90 deg, from `from_deg` up.
struct Piece {
    double from_deg;
    std::array<double, 4> coefficients;

    double operator()(double altitude_deg) const {
        const auto& [c0, c1, c2, c3] = coefficients;
        const double x = altitude_deg / 90.0;
        return c0 + x * (c1 + x * (c2 + x * c3));
    }
};

constexpr std::array<Piece, 6> sun_pieces{{
    {20.0, {3.74, 3.97, -4.07, 1.47}},
    {5.0, {3.05, 13.28, -45.98, 64.33}},
    {-0.8, {2.88, 22.26, -207.64, 1034.30}},
    {-5.0, {2.88, 21.81, -258.11, -858.36}},
    {-12.0, {2.70, 12.17, -431.69, -1899.83}},
    {-18.0, {13.84, 262.72, 1447.42, 2797.93}},
}};

constexpr std::array<Piece, 3> moon_pieces{{
    {20.0, {-1.95, 4.06, -4.24, 1.56}},
    {5.0, {-2.58, 12.58, -42.58, 59.06}},
    {-0.8, {-2.79, 24.27, -252.95, 1321.29}},
}};

constexpr double half_seam_deg = 0.15;

/// The pieces from the highest to the lowest, each turning into the next about its own end.
double log_lx(std::span<const Piece> pieces, double altitude_deg) {
    double value = pieces.front()(altitude_deg);
    for (std::size_t i = 0; i + 1 < pieces.size(); ++i) {
        const double down_deg = pieces[i].from_deg + half_seam_deg - altitude_deg;
        const double next = std::clamp(down_deg / (2.0 * half_seam_deg), 0.0, 1.0);
        if (next > 0.0) value = std::lerp(value, pieces[i + 1](altitude_deg), next);
    }
    return value;
}

}  // namespace

double sun_lx(double altitude_deg) {
    return std::pow(10.0, log_lx(sun_pieces, std::max(altitude_deg, sun_pieces.back().from_deg)));
}

double sun_alone_lx(double altitude_deg) {
    const double last_deg = sun_pieces.back().from_deg;
    if (altitude_deg <= last_deg) return 0.0;
    const double night = sun_lx(last_deg);
    const double more = sun_lx(altitude_deg) - night;
    return more * more / (more + 0.5 * night);  // our own fade: ends without a jerk
}

double moon_lx(double altitude_deg, double elongation_deg, double distance_km) {
    constexpr double earth_km = 6378.137, mean_parallax_deg = 0.951;
    const double lowest_deg = moon_pieces.back().from_deg;
    const double from_full_deg = 180.0 - elongation_deg;
    const double parallax_deg = degrees(std::asin(earth_km / distance_km));
    const double level = log_lx(moon_pieces, std::max(altitude_deg, lowest_deg)) -
                         0.00868 * from_full_deg - 2.2e-9 * std::pow(from_full_deg, 4.0) +
                         2.0 * std::log10(parallax_deg / mean_parallax_deg);
    const double sunk =
        altitude_deg < lowest_deg ? sun_alone_lx(altitude_deg) / sun_alone_lx(lowest_deg) : 1.0;
    return sunk * std::pow(10.0, level);
}

double night_luminance_cd_m2(double mag_arcsec2) {
    return 10.8e4 * std::pow(10.0, -0.4 * mag_arcsec2);
}

double airglow_rise(double altitude_rad) {
    constexpr double extinction_mag = 0.172;
    const double level = std::cos(altitude_rad);
    const double path = 1.0 / std::sqrt(1.0 - 0.96 * level * level);
    return path * std::pow(10.0, -0.4 * extinction_mag * (path - 1.0));
}

double night_lx(double mag_arcsec2) {
    // Midpoint rule, even in the square of the sine: stretches of equal weight on level ground.
    static const double mean_rise = [] {
        constexpr int steps = 512;
        double sum = 0.0;
        for (int i = 0; i < steps; ++i)
            sum += airglow_rise(std::asin(std::sqrt((i + 0.5) / steps)));
        return sum / steps;
    }();
    return pi * mean_rise * night_luminance_cd_m2(mag_arcsec2);
}

double clouded(double cloud_share) {
    return 1.0 - 0.75 * std::pow(cloud_share, 3.4);
}

}  // namespace lampflight
