#include "renderer/atmosphere.h"

#include <algorithm>
#include <cmath>

#include <tbb/parallel_for.h>

#include "renderer/phase.h"
#include "scene/angle.h"

namespace lampflight {
namespace {

constexpr double disc_radius_rad = 0.0047;

constexpr int column_heights = 64;
constexpr int column_angles = 96;
constexpr int order_heights = 20;
constexpr int order_low = 24;   // rows of sun altitude below level
constexpr int order_high = 16;  // and above
constexpr double lowest_sun_rad = radians(32.0);

AirColumns mixed(const AirColumns& one, const AirColumns& other, float share) {
    return {std::lerp(one.gas, other.gas, share), std::lerp(one.haze, other.haze, share),
            std::lerp(one.ozone, other.ozone, share)};
}

/// Of the depression of the horizon, at which a height sees the ground end.
double dip_rad(double height_m) {
    return std::acos(std::min(1.0, earth_radius_m / (earth_radius_m + height_m)));
}

struct Between {
    int low;
    float share;
};

Between between(double at, int count) {
    const double held = std::clamp(at, 0.0, count - 1.000001);
    const int low = static_cast<int>(held);
    return {low, static_cast<float>(held - low)};
}

double column_angle_rad(int row) {
    const double share = row / (column_angles - 1.0);
    return -disc_radius_rad + (0.75 * pi) * share * share;
}

double order_sun_rad(int row) {
    const double step = row - order_low;
    if (step < 0.0) return -lowest_sun_rad * std::pow(-step / order_low, 1.5);
    return 0.5 * pi * std::pow(step / order_high, 1.5);
}

double two_thirds_power(double x) {
    return std::cbrt(x * x);
}

/// A line of sight from a point straight above the earth's centre.
struct Sight {
    double radius_m;  ///< of that point
    glm::dvec3 ray;
    double length_m;
    int steps;
};

struct AirStep {
    glm::dvec3 point_m;  ///< from the earth's centre
    double height_m;
    float length_m;
    AirColumns density;
    AirColumns view;  ///< up to the middle of the step
};

/// Calls `visit` at steps that widen with the distance. Gives all the air on the way.
template <class Visit>
AirColumns march(const AirOptics& air, const Sight& sight, Visit visit) {
    AirColumns view;
    for (int step = 0; step < sight.steps; ++step) {
        const double share = (step + 0.5) / sight.steps;
        const double dt_m = sight.length_m * 2.0 * share / sight.steps;
        const glm::dvec3 point_m =
            glm::dvec3(0.0, 0.0, sight.radius_m) + sight.length_m * share * share * sight.ray;
        const double height_m = glm::length(point_m) - earth_radius_m;
        const AirColumns density = density_at(air, height_m);
        add(view, density, 0.5 * dt_m);
        visit(AirStep{point_m, height_m, static_cast<float>(dt_m), density, view});
        add(view, density, 0.5 * dt_m);
    }
    return view;
}

/// Share of the disc above a horizon.
float disc_share(double above_horizon_rad) {
    const double x = std::clamp(0.5 + 0.5 * above_horizon_rad / disc_radius_rad, 0.0, 1.0);
    return static_cast<float>(x * x * (3.0 - 2.0 * x));
}

}  // namespace

Atmosphere::Atmosphere(const AirOptics& air) : air_(air) {
    fill_columns();
    fill_higher_orders();
}

void Atmosphere::fill_columns() {
    columns_.resize(static_cast<std::size_t>(column_heights) * column_angles);
    tbb::parallel_for(0, column_heights, [&](int row) {
        const double share = row / (column_heights - 1.0);
        const double height_m = air_top_m * share * share;
        for (int angle = 0; angle < column_angles; ++angle) {
            const double altitude_rad =
                std::min(column_angle_rad(angle) - dip_rad(height_m), 0.5 * pi);
            columns_[static_cast<std::size_t>(row * column_angles + angle)] =
                columns_to_space(air_, height_m, std::sin(altitude_rad));
        }
    });
}

AirColumns Atmosphere::sun_columns(double height_m, double above_horizon_rad) const {
    const Between row = between(
        std::sqrt(std::max(0.0, height_m) / air_top_m) * (column_heights - 1), column_heights);
    const Between column =
        between(std::sqrt(std::max(0.0, above_horizon_rad + disc_radius_rad) / (0.75 * pi)) *
                    (column_angles - 1),
                column_angles);
    const AirColumns* at =
        &columns_[static_cast<std::size_t>(row.low * column_angles + column.low)];
    return mixed(mixed(at[0], at[1], column.share),
                 mixed(at[column_angles], at[column_angles + 1], column.share), row.share);
}

Bands Atmosphere::towards_sun(double height_m, double sun_altitude_sine) const {
    const double above_rad =
        std::asin(std::clamp(sun_altitude_sine, -1.0, 1.0)) + dip_rad(std::max(0.0, height_m));
    const float share = disc_share(above_rad);
    if (share <= 0.0f) return {};
    Bands through = transmittance(air_, sun_columns(height_m, above_rad));
    for (float& value : through) value *= share;
    return through;
}

Bands Atmosphere::through(double altitude_sine) const {
    return transmittance(air_, sun_columns(0.0, std::asin(std::clamp(altitude_sine, 0.0, 1.0))));
}

void Atmosphere::fill_higher_orders() {
    constexpr int rows = order_low + order_high + 1;
    log_higher_.resize(static_cast<std::size_t>(order_heights) * rows);
    tbb::parallel_for(0, order_heights * rows, [&](int cell) {
        const double share = (cell / rows) / (order_heights - 1.0);
        const Bands light =
            higher_order_at(0.98 * air_top_m * share * share, order_sun_rad(cell % rows));
        for (std::size_t band = 0; band < band_count; ++band)
            log_higher_[static_cast<std::size_t>(cell)][band] =
                std::log(std::max(light[band], 1e-30f));
    });
}

// Light once scattered that reaches the point from all around, as if scattered evenly, and a
// geometric series for the orders after it: Hillaire 2020, section 5.5.
Bands Atmosphere::higher_order_at(double height_m, double sun_altitude_rad) const {
    constexpr int directions = 64;
    constexpr int steps = 24;
    constexpr double albedo = 0.15;  // of the ground round about: common practice, no source
    const glm::dvec3 sun(std::cos(sun_altitude_rad), 0.0, std::sin(sun_altitude_rad));
    const double radius_m = earth_radius_m + height_m;
    std::array<double, band_count> once{};
    std::array<double, band_count> again{};
    for (int i = 0; i < directions; ++i) {
        const double up = 1.0 - 2.0 * (i + 0.5) / directions;
        const double bearing = 2.399963229728653 * i;  // the golden angle
        const double level = std::sqrt(1.0 - up * up);
        const glm::dvec3 ray(level * std::cos(bearing), level * std::sin(bearing), up);
        double length_m = length_to_space(radius_m, up);
        const double under =
            up * up * radius_m * radius_m - (radius_m * radius_m - earth_radius_m * earth_radius_m);
        const bool ground = up < 0.0 && under >= 0.0;
        if (ground) length_m = -radius_m * up - std::sqrt(under);
        const AirColumns view = march(air_, {radius_m, ray, length_m, steps}, [&](const AirStep& at) {
            const Bands lit =
                towards_sun(at.height_m, glm::dot(at.point_m, sun) / glm::length(at.point_m));
            const Bands through = transmittance(air_, at.view);
            for (std::size_t band = 0; band < band_count; ++band) {
                const float scattered = at.length_m *
                                        (air_.gas[band] * at.density.gas +
                                         air_.haze_scattering[band] * at.density.haze) *
                                        through[band];
                once[band] += static_cast<double>(scattered * lit[band]) / (4.0 * pi);
                again[band] += static_cast<double>(scattered);
            }
        });
        if (!ground) continue;
        const glm::dvec3 foot = (glm::dvec3(0.0, 0.0, radius_m) + length_m * ray) / earth_radius_m;
        const double sine = glm::dot(foot, sun);
        const Bands lit = towards_sun(0.0, sine);
        const Bands through = transmittance(air_, view);
        for (std::size_t band = 0; band < band_count; ++band)
            once[band] +=
                albedo / pi * std::max(0.0, sine) * static_cast<double>(lit[band] * through[band]);
    }
    Bands light{};
    for (std::size_t band = 0; band < band_count; ++band)
        light[band] = static_cast<float>(once[band] / directions /
                                         (1.0 - std::min(0.95, again[band] / directions)));
    return light;
}

Bands Atmosphere::higher_order(double height_m, double sun_altitude_sine) const {
    constexpr int columns = order_low + order_high + 1;
    const double sun_rad = std::asin(std::clamp(sun_altitude_sine, -1.0, 1.0));
    const double step = sun_rad < 0.0 ? -order_low * two_thirds_power(-sun_rad / lowest_sun_rad)
                                      : order_high * two_thirds_power(sun_rad / (0.5 * pi));
    const Between row =
        between(std::sqrt(std::max(0.0, height_m) / (0.98 * air_top_m)) * (order_heights - 1),
                order_heights);
    const Between column = between(step + order_low, columns);
    const Bands* at = &log_higher_[static_cast<std::size_t>(row.low * columns + column.low)];
    Bands powers{};
    for (std::size_t band = 0; band < band_count; ++band) {
        const float low = at[0][band] + column.share * (at[1][band] - at[0][band]);
        const float high =
            at[columns][band] + column.share * (at[columns + 1][band] - at[columns][band]);
        powers[band] = low + row.share * (high - low);
    }
    return exp_of(powers);
}

Scattered Atmosphere::radiance(double view_altitude_rad, double bearing_rad,
                               const LitFrom& body) const {
    constexpr int steps = 64;
    const glm::dvec3 sun(std::cos(body.altitude_rad), 0.0, std::sin(body.altitude_rad));
    const glm::dvec3 seen(std::cos(body.seen_altitude_rad), 0.0, std::sin(body.seen_altitude_rad));
    const glm::dvec3 ray(std::cos(view_altitude_rad) * std::cos(bearing_rad),
                         std::cos(view_altitude_rad) * std::sin(bearing_rad),
                         std::sin(view_altitude_rad));
    const double cosine = glm::dot(seen, ray);
    const auto gas_share = static_cast<float>(rayleigh_phase(cosine));
    const auto haze_share = static_cast<float>(haze_phase(cosine) - haze_peak(cosine));
    Scattered sum{};
    march(air_, {earth_radius_m, ray, length_to_space(earth_radius_m, ray.z), steps},
          [&](const AirStep& at) {
              const double sun_sine = glm::dot(at.point_m, sun) / glm::length(at.point_m);
              const Bands lit = towards_sun(at.height_m, sun_sine);
              const Bands higher = higher_order(at.height_m, sun_sine);
              const Bands through = transmittance(air_, at.view);
              for (std::size_t band = 0; band < band_count; ++band) {
                  const float gas = air_.gas[band] * at.density.gas;
                  const float haze = air_.haze_scattering[band] * at.density.haze;
                  const float reaching = at.length_m * through[band];
                  sum.smooth[band] += reaching * ((gas * gas_share + haze * haze_share) * lit[band] +
                                                  (gas + haze) * higher[band]);
                  sum.haze_once[band] += reaching * haze * lit[band];
              }
          });
    return sum;
}

}  // namespace lampflight
