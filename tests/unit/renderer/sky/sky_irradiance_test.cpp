#include "renderer/sky/sky_irradiance.h"

#include <cmath>

#include "renderer/sky/sky.h"
#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

glm::vec3 slanted(double tilt_deg, double bearing_deg) {
    return glm::vec3(direction_of(radians(bearing_deg), radians(90.0 - tilt_deg)));
}

}  // namespace

// An even sky on a surface tilted by b: (1 + cos b) / 2 of level ground's light (Liu & Jordan 1960,
// Solar Energy 4).
TEST_CASE("an even sky on tilted surfaces") {
    const SkyIrradiance open([](const glm::vec3&) { return glm::vec3(2.0f, 1.0f, 0.5f); },
                             static_cast<float>(pi) * glm::vec3(2.0f, 1.0f, 0.5f));
    for (const double tilt_deg : {0.0, 20.0, 45.0, 77.0, 90.0, 130.0, 170.0})
        for (const double bearing_deg : {0.0, 33.0, 200.0, 359.0})
            CHECK_WITHIN(glm::dvec3(open.at(slanted(tilt_deg, bearing_deg))),
                         0.5 * pi * (1.0 + std::cos(radians(tilt_deg))) * glm::dvec3(2.0, 1.0, 0.5),
                         0.006);
}

// The standard overcast sky, (1 + 2 sin altitude) / 3 of the zenith: an upright surface gets
// (3 pi + 8) / (14 pi), 0.396 of level ground's light (Moon & Spencer 1942, from memory).
TEST_CASE("an overcast sky on an upright surface") {
    const SkyIrradiance open(
        [](const glm::vec3& direction) { return glm::vec3((1.0f + 2.0f * direction.z) / 3.0f); },
        glm::vec3(static_cast<float>(7.0 * pi / 9.0)));
    CHECK_RELATIVE(static_cast<double>(open.at(slanted(90.0, 70.0)).g / open.at(slanted(0, 0)).g),
                   (3.0 * pi + 8.0) / (14.0 * pi), 0.003);
}

TEST_CASE("an afterglow on walls: by steps over the sky itself") {
    const Sky sky(
        SkyLight{.horizontal_lx = 1.0, .temperature_k = 9000.0, .glow_bearing_deg = 250.0});
    for (const double tilt_deg : {10.0, 60.0, 90.0})
        for (const double bearing_deg : {250.0, 70.0, 333.0}) {
            const glm::vec3 normal = slanted(tilt_deg, bearing_deg);
            glm::dvec3 sum(0.0);
            constexpr int steps = 400;
            for (int row = 0; row < steps; ++row)
                for (int column = 0; column < steps; ++column) {
                    const double altitude_rad = 0.5 * pi * (row + 0.5) / steps;
                    const glm::vec3 direction(
                        direction_of(2.0 * pi * (column + 0.5) / steps, altitude_rad));
                    sum += glm::dvec3(sky.luminance_cd_m2(direction)) *
                           static_cast<double>(std::max(0.0f, glm::dot(normal, direction))) *
                           std::cos(altitude_rad) * (0.5 * pi / steps) * (2.0 * pi / steps);
                }
            CHECK_WITHIN(glm::dvec3(sky.irradiance_lx(normal)), sum, 0.004);
        }
}
