#include "renderer/sky/night_dome.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "scene/basics/angle.h"
#include "scene/basics/colour.h"
#include "scene/basics/vector.h"
#include "scene/sky/natural_light.h"

namespace lampflight {
namespace {

// By eye from photographs, no source.
constexpr double night_temperature_k = 5000.0;
constexpr double town_temperature_k = 2900.0;
constexpr double town_spread = 5.0;       // narrowness about the bearing
constexpr double town_height_rad = 0.35;  // altitude over which it falls to 1/e

/// Spread of the standard overcast sky (CIE), 1 lux on level ground.
SkyTable overcast() {
    SkyTable table = SkyTable::filled([](double altitude_rad, double) {
        return glm::vec3(static_cast<float>((1.0 + 2.0 * std::sin(altitude_rad)) / 3.0));
    });
    const glm::vec3 lx = table.horizontal_lx();
    SkyTable scaled = SkyTable::black();
    scaled.add(table, 1.0f / lx);
    return scaled;
}

/// What clouds make of a clear sky: gathered here, spread at the end.
struct Gathered {
    SkyTable clear = SkyTable::black();
    glm::vec3 cloud_lx{0.0f};
    std::vector<SunMoonDisc> direct;
    std::vector<Aureole> aureoles;
};

/// `disc` says what the body is like; its light is filled in.
void add_body(const Atmosphere& air, const SkyBody& body, SunMoonDisc disc,
              const std::array<glm::vec3, band_count>& bands_lx, double cloud_share,
              Gathered& sky) {
    if (!(body.clear_lx > 0.0)) return;
    const bool up = body.direction.z > 0.0;  // its middle, about which the haze glows
    const LitFrom from{radians(body.altitude_deg), std::asin(body.direction.z)};
    const SkyTable lit = lit_air(air, bands_lx, from, bearing_of(body.direction), !up);
    glm::vec3 air_lx = lit.horizontal_lx();
    std::optional<Aureole> aureole;
    if (up) {
        aureole.emplace(air, bands_lx, from, glm::vec3(body.direction));
        air_lx += aureole->horizontal_lx();
    }
    disc.direction = glm::vec3(body.direction);
    disc.flattening = static_cast<float>(body.flattening);
    disc.radius_rad = static_cast<float>(radians(body.radius_deg));
    const double radius = radians(body.radius_deg) * body.flattening;
    const auto sine = static_cast<float>(mean_sine_above(body.direction.z, radius));
    glm::vec3 straight(0.0f);
    if (sine > 0.0f) {
        const double top = body.direction.z + radius;
        const Bands through = air.sunlight().from_place(
            std::asin(std::min(1.0, 0.5 * (std::max(0.0, top - 2.0 * radius) + top))));
        for (std::size_t band = 0; band < band_count; ++band)
            straight += through[band] * bands_lx[band];
        straight = within_rec709(straight);
    }
    const float scale =
        static_cast<float>(body.clear_lx) / (luminance(air_lx) + luminance(straight) * sine);

    const auto open = static_cast<float>(1.0 - cloud_share);
    const auto left = static_cast<float>(clouded(cloud_share));
    sky.clear.add(lit, glm::vec3(scale * open));
    sky.cloud_lx += scale * ((left - open) * air_lx + (left - open * open) * sine * straight);
    if (aureole) {
        aureole->scale(scale * open);
        sky.aureoles.push_back(*std::move(aureole));
    }
    if (luminance(straight) <= 0.0f || open <= 0.0f) return;
    disc.normal_lx = scale * open * open * straight;
    sky.direct.push_back(disc);
}

void add_night(const NightSky& night, Gathered& sky) {
    const glm::vec3 zenith = glm::vec3(planckian_rgb(night_temperature_k) *
                                       night_luminance_cd_m2(night.night_mag_arcsec2));
    const SkyTable floor = SkyTable::filled([&](double altitude_rad, double) {
        return zenith * static_cast<float>(airglow_rise(altitude_rad));
    });
    const auto open = static_cast<float>(1.0 - night.cloud_share);
    sky.clear.add(floor, glm::vec3(open));
    sky.cloud_lx += (static_cast<float>(clouded(night.cloud_share)) - open) * floor.horizontal_lx();
}

void add_town(const TownGlow& town, double cloud_share, Gathered& sky) {
    if (!(town.horizontal_lx > 0.0)) return;
    const Vec3 towards = direction_of(radians(town.bearing_deg));
    const SkyTable dome = SkyTable::filled([&](double altitude_rad, double bearing_rad) {
        const double facing = glm::dot(towards, direction_of(bearing_rad, altitude_rad));
        return glm::vec3(static_cast<float>(std::exp(town_spread * (facing - 1.0)) *
                                            std::exp(-altitude_rad / town_height_rad)));
    });
    const glm::vec3 lx = glm::max(glm::vec3(planckian_rgb(town_temperature_k)), glm::vec3(0.0f)) *
                         static_cast<float>(town.horizontal_lx);
    const auto open = static_cast<float>(1.0 - cloud_share);
    sky.clear.add(dome, open * lx / dome.horizontal_lx());
    sky.cloud_lx += (1.0f - open) * lx;
}

}  // namespace

Atmosphere atmosphere_of(const NightSky& night) {
    return Atmosphere(air_optics(night.visibility_km, night.elevation_m));
}

NightDome night_dome(const NightSky& night, const Atmosphere& air) {
    Gathered sky;
    SunMoonDisc sun{}, moon{};
    sun.bright_limb = limb_towards(night.sun.direction, night.sun.direction);
    moon.body = LightSource::moon;
    moon.lit = static_cast<float>(std::clamp(night.moon_lit, 1e-3, 1.0));
    moon.bright_limb = limb_towards(night.moon.direction, night.sun.direction);
    add_body(air, night.sun, sun, sun_bands_lx(), night.cloud_share, sky);
    add_body(air, night.moon, moon, moon_bands_lx(), night.cloud_share, sky);
    add_night(night, sky);
    if (night.town) add_town(*night.town, night.cloud_share, sky);
    if (night.cloud_share > 0.0) sky.clear.add(overcast(), sky.cloud_lx);
    for (int row = 0; row < SkyTable::rows; ++row)
        for (int column = 0; column <= SkyTable::columns; ++column) {
            glm::vec4& node = sky.clear.node(row, column);
            node = glm::vec4(within_rec709(glm::vec3(node)), 0.0f);
        }
    return {std::move(sky.clear), std::move(sky.direct), std::move(sky.aureoles)};
}

}  // namespace lampflight
