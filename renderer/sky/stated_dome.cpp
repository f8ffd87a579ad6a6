#include "renderer/sky/stated_dome.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/basics/colour.h"

namespace lampflight {
namespace {

// How a clear dusk sky is spread, by eye from photographs (no source): twice the zenith's luminance
// at the horizon, three times more where the sun went down, warmer by these factors.
constexpr float horizon_rise = 1.0f;
constexpr float glow_rise = 3.0f;
constexpr double zenith_warmth = 1.25;
constexpr double horizon_warmth = 0.72;
constexpr double glow_warmth = 0.34;

glm::vec3 colour_at(double temperature_k, double factor = 1.0) {
    const double clamped_k =
        std::clamp(temperature_k * factor, lowest_temperature_k, highest_temperature_k);
    return glm::max(glm::vec3(planckian_rgb(clamped_k)), glm::vec3(0.0f));
}

}  // namespace

SkyTable stated_dome(const SkyLight& light) {
    const glm::vec3 zenith = colour_at(light.temperature_k, zenith_warmth);
    const glm::vec3 horizon = colour_at(light.temperature_k, horizon_warmth);
    const glm::vec3 glow = colour_at(light.temperature_k, glow_warmth);
    const SkyTable shape = SkyTable::filled([&](double altitude_rad, double bearing_rad) {
        const double low4 = std::pow(1.0 - std::sin(altitude_rad), 4.0);
        const auto low = static_cast<float>(low4);
        glm::vec3 colour = glm::mix(zenith, horizon, low) * (1.0f + horizon_rise * low);
        if (light.glow_bearing_deg) {
            const double facing = std::cos(bearing_rad - radians(*light.glow_bearing_deg));
            const double share = low4 * low4 * std::pow(std::max(0.0, facing), 3.0);
            colour += glow_rise * static_cast<float>(share) * glow;
        }
        return colour;
    });
    const auto stated_lx = static_cast<float>(light.horizontal_lx);
    SkyTable dome = SkyTable::black();
    dome.add(shape, stated_lx * colour_at(light.temperature_k) / shape.horizontal_lx());
    return dome;
}

}  // namespace lampflight
