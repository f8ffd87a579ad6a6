#include <doctest/doctest.h>

#include <cmath>

#include "renderer/grain.h"

using namespace lampflight;

namespace {

constexpr glm::vec3 up(0.0f, 0.0f, 1.0f);

/// Means over a spread of places within some metres.
struct Means {
    double tint = 0.0, tint_rms = 0.0, slope_rms = 0.0;
    glm::dvec2 lean{0.0};
};

Means means_of(Grain grain, float patch_m) {
    Means means;
    constexpr int side = 300;
    for (int i = 0; i < side; ++i)
        for (int j = 0; j < side; ++j) {
            const glm::vec3 at(0.0731f * static_cast<float>(i) - 10.0f,
                               0.0717f * static_cast<float>(j) - 10.0f, 0.031f);
            const Grained grained = with_grain(grain, at, up, patch_m);
            const glm::dvec2 slope =
                glm::dvec2(grained.normal) / static_cast<double>(grained.normal.z);
            means.tint += static_cast<double>(grained.tint);
            means.tint_rms += std::pow(static_cast<double>(grained.tint) - 1.0, 2);
            means.slope_rms += glm::dot(slope, slope);
            means.lean += slope;
        }
    constexpr double count = side * side;
    means.tint /= count;
    means.tint_rms = std::sqrt(means.tint_rms / count);
    means.slope_rms = std::sqrt(means.slope_rms / count);
    means.lean /= count;
    return means;
}

}  // namespace

TEST_CASE("a surface without grain is left as it is") {
    const glm::vec3 slanted = glm::normalize(glm::vec3(0.2f, -0.5f, 0.8f));
    const Grained grained = with_grain(Grain::none, {3.0f, 1.0f, 0.2f}, slanted, 1e-4f);
    CHECK(grained.tint == 1.0f);
    CHECK(glm::distance(grained.normal, slanted) < 1e-6f);
}

// Octaves are independent, so their mean squares add; they are given as rms tint and rms slope.
TEST_CASE("stone has the tint and slope that its octaves say") {
    const Means stone = means_of(Grain::stone, 1e-4f);
    CHECK(
        stone.tint_rms ==
        doctest::Approx(std::sqrt(0.08 * 0.08 * 2 + 0.09 * 0.09 * 2 + 0.07 * 0.07)).epsilon(0.06));
    CHECK(stone.slope_rms ==
          doctest::Approx(std::sqrt(0.06 * 0.06 + 0.12 * 0.12 + 0.17 * 0.17 + 0.16 * 0.16))
              .epsilon(0.05));
}

TEST_CASE("grain neither brightens nor tilts a surface on average") {
    for (const Grain grain : {Grain::soil, Grain::stone, Grain::cloth})
        for (const float patch_m : {1e-4f, 0.005f, 0.02f, 0.1f}) {
            CAPTURE(static_cast<int>(grain));
            CAPTURE(patch_m);
            const Means means = means_of(grain, patch_m);
            CHECK(means.tint == doctest::Approx(1.0).epsilon(0.02));
            CHECK(glm::length(means.lean) < 0.01);
        }
}

TEST_CASE("soil is rougher than stone, stone than cloth; a wide patch shows none of it") {
    const double soil = means_of(Grain::soil, 1e-3f).slope_rms;
    const double stone = means_of(Grain::stone, 1e-3f).slope_rms;
    const double cloth = means_of(Grain::cloth, 1e-3f).slope_rms;
    CHECK(soil > stone);
    CHECK(stone > cloth);
    CHECK(means_of(Grain::soil, 1.0f).slope_rms == 0.0);
    CHECK(means_of(Grain::soil, 10.0f).tint_rms == 0.0);
}

TEST_CASE("normals stay unit and above the surface, tints within bounds") {
    for (const Grain grain : {Grain::soil, Grain::stone, Grain::cloth})
        for (int i = 0; i < 20000; ++i) {
            const auto t = static_cast<float>(i);
            const glm::vec3 normal = glm::normalize(
                glm::vec3(std::sin(t), std::cos(1.3f * t), std::sin(0.7f * t) + 1e-3f));
            const Grained grained =
                with_grain(grain, {0.013f * t, -0.017f * t, 0.003f * t}, normal, 1e-3f);
            REQUIRE(glm::length(grained.normal) == doctest::Approx(1.0f).epsilon(1e-4));
            REQUIRE(glm::dot(grained.normal, normal) > 0.0f);
            REQUIRE(grained.tint >= 0.4f);
            REQUIRE(grained.tint <= 1.7f);
        }
}
