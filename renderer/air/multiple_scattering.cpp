#include "renderer/air/multiple_scattering.h"

#include <algorithm>
#include <cmath>

#include <tbb/parallel_for.h>

#include "renderer/air/air_march.h"
#include "renderer/sampling/catmull_rom.h"
#include "scene/basics/angle.h"

namespace lampflight {
namespace {

constexpr int heights = 20;
constexpr double top_m = 0.98 * air_top_m;

// Altitudes of the sun: even in the inverse hyperbolic sine, so that steps are a third of a degree
// where it sets and widen away from there.
constexpr int suns_below = 22;
constexpr int suns = suns_below + 31;
constexpr double fine_rad = radians(3.0);
constexpr double lowest_sun_rad = radians(30.0);

double step_of_sun() {
    static const double step = std::asinh(lowest_sun_rad / fine_rad) / suns_below;
    return step;
}

double sun_rad(int column) {
    return fine_rad * std::sinh((column - suns_below) * step_of_sun());
}

double column_of(double altitude_rad) {
    return suns_below + std::asinh(altitude_rad / fine_rad) / step_of_sun();
}

// Under this there is no light to speak of: a ten-thousandth of the night's own.
constexpr float darkness = 1e-13f;

/// Air or ground that sends light on to the point.
struct Sender {
    glm::dvec3 up;  ///< unit
    double height_m;
    double dip_rad;
    Bands sent;  ///< of light that reaches it from the sun
    bool ground;
};

/// What is seen all around from a height.
struct Surroundings {
    std::vector<Sender> senders;
    std::array<double, band_count> sent_evenly{};  ///< if light 1 came from everywhere
};

Surroundings around(const AirOptics& air, double height_m) {
    constexpr int directions = 64;
    constexpr int steps = 24;
    constexpr double albedo = 0.15;  // of the ground round about: common practice, no source
    const double radius_m = earth_radius_m + height_m;
    Surroundings all;
    all.senders.reserve(directions * (steps + 1));
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
        const AirColumns view =
            march(air, {radius_m, ray, length_m, steps}, [&](const AirStep& at) {
                Sender sender{glm::normalize(at.point_m), at.height_m,
                              dip_rad(std::max(0.0, at.height_m)), transmittance(air, at.view),
                              false};
                for (std::size_t band = 0; band < band_count; ++band) {
                    const float scattered =
                        at.length_m * (air.gas[band] * at.density.gas +
                                       air.haze_scattering[band] * at.density.haze);
                    sender.sent[band] *= scattered / directions;
                    all.sent_evenly[band] += static_cast<double>(sender.sent[band]);
                    sender.sent[band] /= static_cast<float>(4.0 * pi);
                }
                all.senders.push_back(sender);
            });
        if (!ground) continue;
        const glm::dvec3 foot = (glm::dvec3(0.0, 0.0, radius_m) + length_m * ray) / earth_radius_m;
        Sender sender{foot, 0.0, 0.0, transmittance(air, view), true};
        for (float& sent : sender.sent) sent *= static_cast<float>(albedo / pi / directions);
        all.senders.push_back(sender);
    }
    return all;
}

Bands light_from(const SunThroughAir& sunlight, const Surroundings& all, double altitude_rad) {
    const glm::dvec3 sun(std::cos(altitude_rad), 0.0, std::sin(altitude_rad));
    std::array<double, band_count> once{};
    for (const Sender& sender : all.senders) {
        const double sine = std::clamp(glm::dot(sender.up, sun), -1.0, 1.0);
        if (sine < -0.2) continue;  // in the Earth's shadow up to the top of the air
        const Bands lit = sunlight.towards_sun(sender.height_m, std::asin(sine) + sender.dip_rad);
        const double share = sender.ground ? std::max(0.0, sine) : 1.0;
        for (std::size_t band = 0; band < band_count; ++band)
            once[band] += share * static_cast<double>(sender.sent[band] * lit[band]);
    }
    Bands light{};
    for (std::size_t band = 0; band < band_count; ++band)
        light[band] =
            static_cast<float>(once[band] / (1.0 - std::min(0.95, all.sent_evenly[band])));
    return light;
}

}  // namespace

MultipleScattering::MultipleScattering(const SunThroughAir& sunlight)
    : log_light_(static_cast<std::size_t>(heights * suns)) {
    tbb::parallel_for(0, heights, [&](int row) {
        const double share = row / (heights - 1.0);
        const Surroundings all = around(sunlight.air(), top_m * share * share);
        for (int column = 0; column < suns; ++column) {
            const Bands light = light_from(sunlight, all, std::min(sun_rad(column), 0.5 * pi));
            Bands& logs = log_light_[static_cast<std::size_t>(row * suns + column)];
            for (std::size_t band = 0; band < band_count; ++band)
                logs[band] = std::log(light[band] + darkness);
        }
    });
}

Bands MultipleScattering::at(double height_m, double sun_altitude_rad) const {
    const Between row =
        between(std::sqrt(std::max(0.0, height_m) / top_m) * (heights - 1), heights);
    // Cubic in the sun's altitude, with which the light of dusk must change without a jerk.
    const Between column = between(column_of(sun_altitude_rad) - 1.0, suns - 2);
    const glm::vec4 weights = catmull_rom(column.share);
    const Bands* at = &log_light_[static_cast<std::size_t>(row.low * suns + column.low)];
    Bands powers{};
    for (std::size_t band = 0; band < band_count; ++band) {
        float low = 0.0f, high = 0.0f;
        for (int i = 0; i < 4; ++i) {
            low += weights[i] * at[i][band];
            high += weights[i] * at[suns + i][band];
        }
        powers[band] = low + row.share * (high - low);
    }
    return exp_of(powers);
}

}  // namespace lampflight
