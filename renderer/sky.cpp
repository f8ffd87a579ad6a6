#include "renderer/sky.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "renderer/night_dome.h"
#include "scene/angle.h"
#include "scene/colour.h"

namespace lampflight {
namespace {

// How a clear dusk sky is spread, by eye from photographs (no source): twice the zenith's luminance
// at the horizon, three times more where the sun went down, warmer by these factors.
constexpr float horizon_rise = 1.0f;
constexpr float glow_rise = 3.0f;
constexpr double zenith_warmth = 1.25;
constexpr double horizon_warmth = 0.72;
constexpr double glow_warmth = 0.34;

glm::vec3 colour_at(double temperature_k, double factor) {
    const double clamped_k =
        std::clamp(temperature_k * factor, lowest_temperature_k, highest_temperature_k);
    return glm::max(glm::vec3(planckian_rgb(clamped_k)), glm::vec3(0.0f));
}

}  // namespace

Sky::Sky(const SkyLight& light)
    : zenith_(colour_at(light.temperature_k, zenith_warmth)),
      horizon_(colour_at(light.temperature_k, horizon_warmth)),
      glow_(colour_at(light.temperature_k, glow_warmth)),
      horizontal_lx_(glm::max(glm::vec3(planckian_rgb(light.temperature_k)), glm::vec3(0.0f)) *
                     static_cast<float>(light.horizontal_lx)) {
    if (light.glow_bearing_deg)
        glow_direction_ = glm::vec3(direction_of(radians(*light.glow_bearing_deg)));

    // Midpoint rule over the upper hemisphere, even in the square of the sine of the altitude: the
    // cosine-weighted solid angle is then 2 pi / (rows columns) / 2 each.
    constexpr int rows = 128;
    constexpr int columns = 128;
    glm::dvec3 sum(0.0);
    for (int row = 0; row < rows; ++row)
        for (int column = 0; column < columns; ++column) {
            const double sine = std::sqrt((row + 0.5) / rows);
            const double bearing = 2.0 * pi * (column + 0.5) / columns;
            sum += glm::dvec3(shape(glm::vec3(direction_of(bearing, std::asin(sine)))));
        }
    sum *= pi / (rows * columns);
    scale_ = glm::vec3(glm::dvec3(horizontal_lx_) / sum);
}

Sky::Sky(const NightSky& night) {
    NightDome dome = night_dome(night);
    horizontal_lx_ = dome.table.horizontal_lx();
    table_ = std::move(dome.table);
    direct_ = std::move(dome.direct);
    aureoles_ = std::move(dome.aureoles);
    for (const Aureole& aureole : aureoles_) horizontal_lx_ += aureole.horizontal_lx();
}

glm::vec3 Sky::shape(const glm::vec3& direction) const {
    const float low = 1.0f - std::clamp(direction.z, 0.0f, 1.0f);
    const float low2 = low * low;
    const float low4 = low2 * low2;
    glm::vec3 colour = glm::mix(zenith_, horizon_, low4) * (1.0f + horizon_rise * low4);
    const float towards = glm::dot(direction, glow_direction_);
    if (towards > 0.0f) {
        const float level = std::sqrt(std::max(1e-6f, 1.0f - direction.z * direction.z));
        const float facing = towards / level;
        const float share = low4 * low4 * facing * facing * facing;
        colour += glow_rise * share * glow_;
    }
    return colour;
}

glm::vec3 Sky::luminance_cd_m2(const glm::vec3& direction) const {
    if (table_.empty()) return scale_ * shape(direction);
    glm::vec3 seen = table_.at(direction);
    for (const Aureole& aureole : aureoles_) seen += aureole.at(direction);
    return seen;
}

}  // namespace lampflight
