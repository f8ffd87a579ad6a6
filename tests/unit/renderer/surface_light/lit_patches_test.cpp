#include "renderer/surface_light/lit_patches.h"

#include <cmath>
#include <functional>

#include "renderer/sampling/low_discrepancy.h"
#include "renderer/surface_light/final_gather.h"
#include "scene/basics/angle.h"
#include "tests/film.h"
#include "tests/unit/renderer/surface_light/lit_sheet.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr float lamp_lxs = 40.0f;

/// A sheet of 2 x 1 m that hangs level, 1.5 m up, and lies between x, y = 0 and x = 2, y = 1.
class HungSheet {
public:
    explicit HungSheet(const std::function<float(const glm::vec3&)>& light)
        : sheet_(level_sheet({0.0f, 0.0f, 1.5f}, {2.0f, 1.0f}, {16, 8}, -1.0f)),
          geometry_({&sheet_}),
          cells_(irradiance_cache(geometry_, {0.0f, -3.0f, 0.0f})) {
        LumenIrradiance lamp;
        for (const glm::vec3& position_m : cells_.position_m) lamp.push_back(light(position_m));
        lamps_ = {lamp};
        const LightMixture mixture(geometry_, cells_, lamps_);
        patches_ = LitPatches(geometry_, cells_, mixture, lamps_);
    }

    const Mesh& mesh() const { return sheet_; }
    const Geometry& geometry() const { return geometry_; }
    const IrradianceCache& cells() const { return cells_; }
    const LitPatches& patches() const { return patches_; }
    const LumenIrradiance& lamp() const { return lamps_.front(); }

private:
    Mesh sheet_;
    Geometry geometry_;
    IrradianceCache cells_;
    std::vector<LumenIrradiance> lamps_;
    LitPatches patches_;
};

float even(const glm::vec3&) {
    return lamp_lxs;
}

float area_m2(const Mesh& mesh, std::uint32_t triangle) {
    return 0.5f * glm::length(across_triangle(mesh, mesh.triangles[triangle]));
}

/// From a level element to a parallel rectangle a x b, one corner of which lies h above it, of all
/// light that the element gets: a standard configuration factor (Siegel & Howell, Thermal Radiation
/// Heat Transfer, appendix of factors; from memory).
double parallel_rectangle_share(double a, double b, double h) {
    const double x = a / h, y = b / h;
    const double sx = std::sqrt(1.0 + x * x), sy = std::sqrt(1.0 + y * y);
    return (x / sx * std::atan(y / sx) + y / sy * std::atan(x / sy)) / (2.0 * pi);
}

}  // namespace

TEST_CASE("lit patches: the density of draws in a cluster is one over all of it") {
    const HungSheet sheet([](const glm::vec3& p) { return 1.0f + 30.0f * p.x * p.y; });
    const LitPatches& patches = sheet.patches();
    std::vector<double> sum(patches.clusters().count(), 0.0);
    REQUIRE(sum.size() > 4);
    for (std::uint32_t t = 0; t < sheet.mesh().triangles.size(); ++t) {
        const LitPatches::Place place = patches.place_of(0, t);
        sum[place.cluster] += static_cast<double>(place.per_m2 * area_m2(sheet.mesh(), t));
    }
    for (const double of_cluster : sum) CHECK_WITHIN(of_cluster, 1.0, 1e-4);
}

TEST_CASE(
    "lit patches: triangles are drawn as often as their density says, points on them evenly") {
    const HungSheet sheet([](const glm::vec3& p) { return 1.0f + 30.0f * p.x * p.y; });
    const LitPatches& patches = sheet.patches();
    std::vector<double> drawn(sheet.mesh().triangles.size(), 0.0);
    constexpr std::uint32_t packets = 20'000;
    std::array<std::uint32_t, packet_size> cluster{};
    cluster.fill(2);
    double u = 0.0, v = 0.0;
    for (std::uint32_t k = 0; k < packets; ++k) {
        LaneVectors places;
        for (int i = 0; i < packet_size; ++i) {
            const std::uint32_t seed = hash_of(k, static_cast<std::uint32_t>(i));
            places.set(i, {hashed_place(seed, 1), hashed_place(seed, 2), hashed_place(seed, 3)});
        }
        PatchPoints points;
        patches.draw(cluster, all_lanes, places, points);
        for (std::size_t i = 0; i < packet_size; ++i) {
            const std::uint32_t t = points.hits.triangle[i];
            const LitPatches::Place place = patches.place_of(0, t);
            REQUIRE(place.cluster == 2);
            REQUIRE(points.per_m2.lane[i] == place.per_m2);
            drawn[t] += 1.0 / (packets * packet_size);
            u += static_cast<double>(points.hits.u.lane[i]) / (packets * packet_size);
            v += static_cast<double>(points.hits.v.lane[i]) / (packets * packet_size);
        }
    }
    for (std::uint32_t t = 0; t < drawn.size(); ++t) {
        const LitPatches::Place place = patches.place_of(0, t);
        const double expected =
            place.cluster == 2 ? static_cast<double>(place.per_m2 * area_m2(sheet.mesh(), t)) : 0.0;
        // Four standard deviations of a count.
        CHECK_WITHIN(drawn[t], expected,
                     4.0 * std::sqrt(expected / (packets * packet_size)) + 1e-9);
    }
    CHECK_WITHIN(u, 1.0 / 3.0, 2e-3);
    CHECK_WITHIN(v, 1.0 / 3.0, 2e-3);
}

TEST_CASE("lit patches: a dark cell is no patch") {
    CHECK(HungSheet([](const glm::vec3&) { return 0.0f; }).patches().none());
    const HungSheet half([](const glm::vec3& p) { return p.x < 0.9f ? lamp_lxs : 0.0f; });
    for (std::uint32_t t = 0; t < half.mesh().triangles.size(); ++t) {
        const float x = half.mesh().positions[half.mesh().triangles[t][0]].x;
        if (x < 0.6f) CHECK(half.patches().place_of(0, t).per_m2 > 0.0f);
        if (x > 1.3f) CHECK(half.patches().place_of(0, t).per_m2 == 0.0f);
    }
}

// A level element below one corner of a sheet that sends back the same everywhere.
TEST_CASE(
    "a final gather with rays to patches gives the closed form, with less noise than without") {
    const HungSheet sheet(even);
    const std::vector<const Sky*> no_skies;
    const SkySampler shining(no_skies);
    const BouncedLight bounced{{}, {CachedIrradiance(sheet.lamp().size(), glm::vec3(lamp_lxs))}};
    const Surroundings around{sheet.geometry(), no_skies, shining, sheet.cells(), &bounced};
    SurfacePacket points{};
    for (int i = 0; i < packet_size; ++i) {
        points.normal.set(i, {0.0f, 0.0f, 1.0f});
        points.face_normal.set(i, {0.0f, 0.0f, 1.0f});
        points.found |= 1u << i;
    }
    TileView view;
    for (BlockSurfaces& block : view.blocks) block.clear();
    view.blocks.front() = {points};
    TilePatches tile;
    tile.learn(sheet.patches(), sheet.geometry().rays(), view, 5);
    const PatchChoice* choice = tile.look_from(view, 0);
    REQUIRE(choice != nullptr);
    CHECK(tile.look_from(view, 1) == nullptr);
    const double expected = static_cast<double>(lamp_lxs) * ground_reflectance *
                            parallel_rectangle_share(2.0, 1.0, 1.5);
    std::array<double, 2> rms{};
    for (const bool with_draws : {false, true}) {
        constexpr std::uint32_t packets = 4000;
        double mean = 0.0, squares = 0.0;
        for (std::uint32_t k = 0; k < packets; ++k) {
            const PatchDraws draws{&sheet.patches(), choice, 1.0f, 0, k, 9};
            Gathered gathered;
            final_gather(around, points, {8, 0, k}, with_draws ? &draws : nullptr, gathered);
            double packet = 0.0;
            for (const glm::vec3& lxs : gathered.lamps_lxs.front())
                packet += luminance_of(lxs) / packet_size;
            mean += packet / packets;
            squares += std::pow(packet / expected - 1.0, 2) / packets;
        }
        rms[with_draws ? 1 : 0] = std::sqrt(squares);
        CHECK_RELATIVE(mean, expected, 0.005);
    }
    INFO("rms ", rms[0], " and with draws ", rms[1]);
    CHECK(rms[1] < 0.5 * rms[0]);
}
