#include <doctest/doctest.h>

#include <array>
#include <cmath>

#include "renderer/geometry/surface_relief.h"
#include "tests/unit/renderer/geometry/plain_relief.h"

using namespace lampflight;

namespace {

constexpr glm::vec3 up(0.0f, 0.0f, 1.0f);

struct Relieved {
    glm::vec3 normal;
    float tint;
};

/// One place's relief, from the lane it is put in.
Relieved with_relief(SurfaceRelief relief, const glm::vec3& position_m, const glm::vec3& normal,
                     float patch_m) {
    ReliefPlaces places{};
    places.relief[5] = relief;
    places.patch_m.lane.fill(patch_m);
    places.position_m.set(5, position_m);
    LaneVectors normals{};
    normals.set(5, normal);
    Lanes tint;
    add_relief(places, normals, tint);
    return {normals.at(5), tint[5]};
}

/// Means over a spread of places within some metres.
struct ReliefMeans {
    double tint = 0.0, tint_rms = 0.0, slope_rms = 0.0;
    glm::dvec2 lean{0.0};
};

ReliefMeans means_of(SurfaceRelief relief, float patch_m) {
    ReliefMeans means;
    constexpr int side = 300;
    for (int i = 0; i < side; ++i)
        for (int j = 0; j < side; ++j) {
            const glm::vec3 at(0.0731f * static_cast<float>(i) - 10.0f,
                               0.0717f * static_cast<float>(j) - 10.0f, 0.031f);
            const Relieved relieved = with_relief(relief, at, up, patch_m);
            const glm::dvec2 slope =
                glm::dvec2(relieved.normal) / static_cast<double>(relieved.normal.z);
            means.tint += static_cast<double>(relieved.tint);
            means.tint_rms += std::pow(static_cast<double>(relieved.tint) - 1.0, 2);
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

TEST_CASE("a surface without relief is left as it is") {
    const glm::vec3 slanted = glm::normalize(glm::vec3(0.2f, -0.5f, 0.8f));
    const Relieved relieved = with_relief(SurfaceRelief::none, {3.0f, 1.0f, 0.2f}, slanted, 1e-4f);
    CHECK(relieved.tint == 1.0f);
    CHECK(glm::distance(relieved.normal, slanted) < 1e-6f);
}

// Octaves are independent, so their mean squares add; they are given as rms tint and rms slope.
TEST_CASE("stone has the tint and slope that its octaves say") {
    const ReliefMeans stone = means_of(SurfaceRelief::stone, 1e-4f);
    CHECK(
        stone.tint_rms ==
        doctest::Approx(std::sqrt(0.08 * 0.08 * 2 + 0.09 * 0.09 * 2 + 0.07 * 0.07)).epsilon(0.06));
    CHECK(stone.slope_rms ==
          doctest::Approx(std::sqrt(0.06 * 0.06 + 0.12 * 0.12 + 0.17 * 0.17 + 0.16 * 0.16))
              .epsilon(0.05));
}

TEST_CASE("relief neither brightens nor tilts a surface on average") {
    for (const SurfaceRelief relief :
         {SurfaceRelief::soil, SurfaceRelief::stone, SurfaceRelief::cloth})
        for (const float patch_m : {1e-4f, 0.005f, 0.02f, 0.1f}) {
            CAPTURE(static_cast<int>(relief));
            CAPTURE(patch_m);
            const ReliefMeans means = means_of(relief, patch_m);
            CHECK(means.tint == doctest::Approx(1.0).epsilon(0.02));
            CHECK(glm::length(means.lean) < 0.01);
        }
}

TEST_CASE("soil is rougher than stone, stone than cloth; a wide patch shows none of it") {
    const double soil = means_of(SurfaceRelief::soil, 1e-3f).slope_rms;
    const double stone = means_of(SurfaceRelief::stone, 1e-3f).slope_rms;
    const double cloth = means_of(SurfaceRelief::cloth, 1e-3f).slope_rms;
    CHECK(soil > stone);
    CHECK(stone > cloth);
    CHECK(means_of(SurfaceRelief::soil, 1.0f).slope_rms == 0.0);
    CHECK(means_of(SurfaceRelief::soil, 10.0f).tint_rms == 0.0);
}

TEST_CASE("normals stay unit and above the surface, tints within bounds") {
    for (const SurfaceRelief relief :
         {SurfaceRelief::soil, SurfaceRelief::stone, SurfaceRelief::cloth})
        for (int i = 0; i < 20000; ++i) {
            const auto t = static_cast<float>(i);
            const glm::vec3 normal = glm::normalize(
                glm::vec3(std::sin(t), std::cos(1.3f * t), std::sin(0.7f * t) + 1e-3f));
            const Relieved relieved =
                with_relief(relief, {0.013f * t, -0.017f * t, 0.003f * t}, normal, 1e-3f);
            REQUIRE(glm::length(relieved.normal) == doctest::Approx(1.0f).epsilon(1e-4));
            REQUIRE(glm::dot(relieved.normal, normal) > 0.0f);
            REQUIRE(relieved.tint >= 0.4f);
            REQUIRE(relieved.tint <= 1.7f);
        }
}

TEST_CASE("sixteen lanes come to what each place comes to by itself") {
    constexpr std::array<SurfaceRelief, 4> kinds{SurfaceRelief::soil, SurfaceRelief::stone,
                                                 SurfaceRelief::cloth, SurfaceRelief::none};
    double leant = 0.0;
    int others = 0;
    for (std::uint32_t packet = 0; packet < 3000; ++packet) {
        ReliefPlaces places;
        LaneVectors normals;
        for (int i = 0; i < packet_size; ++i) {
            const std::uint32_t key = packet * 16u + static_cast<std::uint32_t>(i);
            const auto draw = [key](std::uint32_t number) {
                return 2.0f * hashed_place(key, number) - 1.0f;
            };
            places.relief[static_cast<std::size_t>(i)] = kinds[hash_of(key, 9) % 5u % 4u];
            places.position_m.set(i, {3.0f * draw(1), 3.0f * draw(2), draw(3)});
            places.patch_m[i] = std::pow(10.0f, -2.0f + 1.5f * draw(4));
            normals.set(i, glm::normalize(glm::vec3(draw(5), draw(6), 1.1f + draw(7))));
        }
        const LaneVectors before = normals;
        Lanes tint;
        add_relief(places, normals, tint);
        for (int i = 0; i < packet_size; ++i) {
            const plain::Relieved one =
                plain::with_relief(places.relief[static_cast<std::size_t>(i)],
                                   places.position_m.at(i), before.at(i), places.patch_m[i]);
            // Rounding, on positions of metres counted in waves of millimetres.
            const float off = glm::distance(normals.at(i), one.normal);
            if (off > 1e-4f || std::abs(tint[i] - one.tint) > 1e-4f) ++others;
            leant += static_cast<double>(glm::distance(normals.at(i), before.at(i)));
        }
    }
    // Places on the very rim of a pebble may fall to either side of it.
    CHECK(others < 5);
    CHECK(leant / (3000 * packet_size) > 0.05);
}
