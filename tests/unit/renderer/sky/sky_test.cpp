#include "renderer/sky/sky.h"

#include <cmath>

#include "scene/basics/angle.h"
#include "scene/basics/colour.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// What open level ground receives: the integral of luminance times sine of the altitude, in polar
/// steps, which is another grid than the sky's own.
Rgb on_level_ground(const Sky& sky) {
    constexpr int rows = 180;
    constexpr int columns = 360;
    Rgb sum(0.0);
    for (int row = 0; row < rows; ++row)
        for (int column = 0; column < columns; ++column) {
            const double altitude_rad = 0.5 * pi * (row + 0.5) / rows;
            const double bearing_rad = 2.0 * pi * (column + 0.5) / columns;
            const double weight = std::sin(altitude_rad) * std::cos(altitude_rad) *
                                  (0.5 * pi / rows) * (2.0 * pi / columns);
            sum += weight *
                   Rgb(sky.luminance_cd_m2(glm::vec3(direction_of(bearing_rad, altitude_rad))));
        }
    return sum;
}

}  // namespace

TEST_CASE("a sky lays its stated light in its stated colour on level ground") {
    for (const double temperature_k : {4000.0, 9000.0, 20000.0})
        for (const bool glow : {false, true}) {
            SkyLight light{
                .horizontal_lx = 3.4, .temperature_k = temperature_k, .glow_bearing_deg = {}};
            if (glow) light.glow_bearing_deg = 250.0;
            const Sky sky(light);
            const Rgb received_lx = on_level_ground(sky);
            CHECK_RELATIVE(luminance(received_lx), 3.4, 2e-3);
            CHECK_WITHIN(received_lx, 3.4 * planckian_rgb(temperature_k), 0.01);
            CHECK_WITHIN(Rgb(sky.horizontal_lx()), 3.4 * planckian_rgb(temperature_k), 1e-5);
        }
}

TEST_CASE("a dark sky is black") {
    const Sky sky(
        SkyLight{.horizontal_lx = 0.0, .temperature_k = 9000.0, .glow_bearing_deg = 10.0});
    CHECK(sky.luminance_cd_m2({0.0f, 0.0f, 1.0f}) == glm::vec3(0.0f));
    CHECK(sky.luminance_cd_m2({0.0f, 1.0f, 0.0f}) == glm::vec3(0.0f));
}

TEST_CASE("the sky brightens towards the horizon, most where the afterglow stands") {
    const Sky sky(
        SkyLight{.horizontal_lx = 1.0, .temperature_k = 9000.0, .glow_bearing_deg = 250.0});
    const auto level = [&](double bearing_deg, double altitude_deg) {
        return luminance(Rgb(sky.luminance_cd_m2(
            glm::vec3(direction_of(radians(bearing_deg), radians(altitude_deg))))));
    };
    for (const double bearing_deg : {250.0, 70.0})
        for (double altitude_deg = 0.0; altitude_deg < 89.0; altitude_deg += 1.0)
            CHECK(level(bearing_deg, altitude_deg) >=
                  0.99999 * level(bearing_deg, altitude_deg + 1.0));
    CHECK(level(250.0, 2.0) > 1.5 * level(70.0, 2.0));
    CHECK_WITHIN(level(250.0, -20.0), level(250.0, 0.0), 1e-6);  // below: that of the horizon
    // Alike to the left and the right of the glow.
    CHECK_RELATIVE(level(220.0, 5.0), level(280.0, 5.0), 1e-4);
}
