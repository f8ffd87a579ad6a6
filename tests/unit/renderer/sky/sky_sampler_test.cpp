#include "renderer/sky/sky_sampler.h"

#include <cmath>

#include "renderer/sampling/low_discrepancy.h"
#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

const Sky even_sky(SkyLight{.horizontal_lx = 2.0, .temperature_k = 6500.0, .glow_bearing_deg = {}});

template <class Visit>
void for_each_direction(const SkySampler& directions, int count, Visit visit) {
    for (int k = 0; k < count; ++k)
        visit(directions.at({(static_cast<float>(k) + 0.5f) / static_cast<float>(count),
                             golden_place(static_cast<std::uint32_t>(k))}));
}

/// Integral of the density by steps over the directions that pass.
template <class Passes>
double share_within(const SkySampler& directions, Passes passes) {
    constexpr int rows = 600;
    constexpr int columns = 600;
    double sum = 0.0;
    for (int row = 0; row < rows; ++row)
        for (int column = 0; column < columns; ++column) {
            const double altitude_rad = 0.5 * pi * (row + 0.5) / rows;
            const glm::vec3 direction(
                direction_of(2.0 * pi * (column + 0.5) / columns, altitude_rad));
            if (passes(direction))
                sum += static_cast<double>(directions.per_sr(direction)) * std::cos(altitude_rad) *
                       (0.5 * pi / rows) * (2.0 * pi / columns);
        }
    return sum;
}

}  // namespace

TEST_CASE("directions to the sky fall as densely as they say, and go with its light") {
    const Sky glow(
        SkyLight{.horizontal_lx = 1.0, .temperature_k = 9000.0, .glow_bearing_deg = 250.0});
    const SkySampler directions({&glow});
    const glm::vec3 west(direction_of(radians(250.0), radians(5.0)));
    const auto near_glow = [&](const glm::vec3& d) { return glm::dot(d, west) > 0.9f; };
    CHECK_RELATIVE(share_within(directions, [](const glm::vec3&) { return true; }), 1.0, 0.003);
    constexpr int count = 20000;
    int near = 0;
    double whole_sr = 0.0;
    for_each_direction(directions, count, [&](const glm::vec3& direction) {
        CHECK(direction.z > 0.0f);
        CHECK(std::abs(glm::length(direction) - 1.0f) < 1e-5f);
        near += near_glow(direction) ? 1 : 0;
        whole_sr += 1.0 / (static_cast<double>(directions.per_sr(direction)) * count);
    });
    CHECK_RELATIVE(near / static_cast<double>(count), share_within(directions, near_glow), 0.01);
    CHECK_RELATIVE(whole_sr, 2.0 * pi, 0.01);
    const glm::vec3 east(direction_of(radians(70.0), radians(5.0)));
    CHECK_RELATIVE(static_cast<double>(directions.per_sr(west) / directions.per_sr(east)),
                   static_cast<double>(luminance(glow.luminance_cd_m2(west)) /
                                       luminance(glow.luminance_cd_m2(east))),
                   0.05);
}

TEST_CASE("directions to several skies: each counts alike, however bright") {
    const Sky bright(
        SkyLight{.horizontal_lx = 50.0, .temperature_k = 9000.0, .glow_bearing_deg = 90.0});
    const Sky dim(
        SkyLight{.horizontal_lx = 0.5, .temperature_k = 9000.0, .glow_bearing_deg = 270.0});
    const SkySampler both({&bright, &dim});
    const glm::vec3 right(direction_of(radians(92.0), radians(8.0)));
    const glm::vec3 left(direction_of(radians(268.0), radians(8.0)));
    CHECK_RELATIVE(static_cast<double>(both.per_sr(right)), static_cast<double>(both.per_sr(left)),
                   0.02);
}

TEST_CASE("no directions to the ground, nor to a sky without light") {
    const SkySampler directions({&even_sky});
    CHECK_FALSE(directions.none());
    CHECK(directions.per_sr({0.0f, 0.8f, -0.6f}) == 0.0f);
    const Sky dark(SkyLight{.horizontal_lx = 0.0, .temperature_k = 9000.0, .glow_bearing_deg = {}});
    CHECK(SkySampler({&dark}).none());
    CHECK(SkySampler({}).none());
    CHECK(SkySampler({&dark}).per_sr({0.0f, 0.0f, 1.0f}) == 0.0f);
}
