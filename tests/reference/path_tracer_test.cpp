// The path tracer against closed forms, and against walks from the lens alone.
#include "tests/reference/path_tracer.h"

#include <tbb/parallel_for.h>

#include <cmath>
#include <stdexcept>

#include "scene/shoot/presence.h"
#include "tests/film.h"
#include "tests/icosphere.h"
#include "tests/reference/doorway.h"
#include "tests/reference/oracle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr double reflectance = 0.5;
constexpr double beyond_chance = 4.0;  // standard errors

/// Share of its own mean by which a block's bounced light may err by chance.
double chance(const TracedBlock& block) {
    return beyond_chance * block.bounced_error_lxs / block.bounced_lxs;
}

/// What fell on the surface in a block to leave so much on film, in lux seconds.
double fallen_lxs(const Camera& camera, const glm::ivec2& corner_px, double film_lxs) {
    const Projection projection(camera);
    double q = 0.0;
    for (int y = 0; y < film_block_side; ++y)
        for (int x = 0; x < film_block_side; ++x)
            q += lens_factor(camera.lens.transmission,
                             projection.cos_off_axis(Vec2(corner_px + glm::ivec2(x, y)) + 0.5)) /
                 film_block_pixels;
    return pi * camera.f_number * camera.f_number * film_lxs / (q * reflectance);
}

Mesh grey(Mesh mesh) {
    mesh.materials = {{Rgb(reflectance), SurfaceRelief::none}};
    return mesh;
}

/// A level disc, its face up or down.
Mesh disc(const Vec3& middle_m, double radius_m, bool up) {
    constexpr std::uint32_t corners = 180;
    Mesh mesh;
    mesh.positions = {glm::vec3(middle_m)};
    for (std::uint32_t i = 0; i < corners; ++i) {
        const double turn_rad = 2.0 * pi * i / corners;
        mesh.positions.emplace_back(middle_m +
                                    radius_m * Vec3(std::cos(turn_rad), std::sin(turn_rad), 0.0));
        const std::uint32_t here = 1 + i, next = 1 + (i + 1) % corners;
        mesh.triangles.push_back({0, up ? here : next, up ? next : here});
    }
    mesh.normals.assign(mesh.positions.size(), glm::vec3(0.0f, 0.0f, up ? 1.0f : -1.0f));
    mesh.material_of.assign(mesh.triangles.size(), 0);
    return grey(mesh);
}

}  // namespace

// Integrating sphere: between any two of its places cos cos / (pi d^2) is 1 / (4 pi R^2), as either
// cosine is d / 2R. So each bounce spreads all flux evenly, wherever a narrow beam strikes first,
// and E = flux / (4 pi R^2) (rho + ... + rho^n); derived.
TEST_CASE("path tracer: a beam in an integrating sphere") {
    constexpr double radius_m = 3.0, flux_lm = 800.0;
    const Vec3 middle_m{0.0, 0.0, 60.0};
    PlacedShoot shoot = dark_shoot({64, 48});
    shoot.camera.shutter_s = 5.0;
    shoot.camera.position_m = middle_m + Vec3(0.8, -1.1, -0.4);
    shoot.camera.look_at_m = middle_m + Vec3(-0.5, 3.0, 0.8);
    Lamp lamp;
    lamp.name = "lamp";
    lamp.flux_lm = flux_lm;
    lamp.beam_deg = 30.0;
    lamp.spill = 0.05;
    lamp.aim = Vec3(0.3, 1.0, 0.2);
    stand(shoot, lamp, middle_m + Vec3(0.5, 1.0, 0.3));
    const Mesh shell = grey(icosphere(middle_m, radius_m, 6, true));
    const Geometry geometry({&shell});
    const std::vector<glm::ivec2> corners_px{{0, 0}, {24, 16}, {56, 40}};
    double each = 1.0, sum = 0.0;
    for (const int bounces : {1, 2, 3}) {
        each *= reflectance;
        sum += each;
        const auto blocks = traced_blocks(shoot, shoot.takes.front(), "lamp", geometry, corners_px,
                                          {.bounces = bounces, .wanted_error = 0.003});
        for (std::size_t b = 0; b < blocks.size(); ++b) {
            REQUIRE(blocks[b].bounced_error_lxs < 0.004 * blocks[b].bounced_lxs);
            // Flat facets of two degrees take less than 0.1 % off the sphere.
            CHECK_RELATIVE(fallen_lxs(shoot.camera, corners_px[b], blocks[b].bounced_lxs),
                           flux_lm * 5.0 / (4.0 * pi * radius_m * radius_m) * sum,
                           chance(blocks[b]) + 0.001);
        }
    }
}

// A small patch parallel to a disc, on its axis: of what it sees a^2 / (a^2 + h^2) is disc (Howell,
// A Catalog of Radiation Heat Transfer Configuration Factors, B-12; from memory).
TEST_CASE("path tracer: a patch over an evenly lit disc") {
    constexpr double radius_m = 1.0, candela = 1000.0;
    const Vec3 middle_m{0.0, 0.0, 50.0};
    for (const double height_m : {0.1, 1.0, 3.0}) {
        PlacedShoot shoot = dark_shoot({8, 8});
        shoot.camera.shutter_s = 1.0;
        shoot.camera.position_m = middle_m + height_m * Vec3(-0.5, 0.0, 0.5);
        const Vec3 patch_m = middle_m + Vec3(0.0, 0.0, height_m);
        shoot.camera.look_at_m = patch_m;
        shoot.camera.focal_mm = 20000.0;  // less than a patch of two millimetres
        // So far away that its light is even over the disc to 0.1 %.
        constexpr double distance_m = 60.0;
        stand(shoot, bare_lamp("lamp", candela),
              middle_m + distance_m * glm::normalize(Vec3(0.0, 1.0, 1.0)));
        const Mesh lit = disc(middle_m, radius_m, true);
        const Mesh patch = disc(patch_m, 0.01, false);
        const Geometry geometry({&lit, &patch});
        const TracedBlock block = traced_blocks(shoot, shoot.takes.front(), "lamp", geometry,
                                                {{0, 0}}, {.wanted_error = 0.002})
                                      .front();
        const double share = radius_m * radius_m / (radius_m * radius_m + height_m * height_m);
        const double lit_lx = candela * std::sqrt(0.5) / (distance_m * distance_m);
        CHECK(block.direct_lxs == 0.0);
        CHECK_RELATIVE(fallen_lxs(shoot.camera, {0, 0}, block.bounced_lxs),
                       reflectance * lit_lx * share, chance(block) + 0.002);
    }
}

// The oracle walks from the lens alone, one ray by one.
TEST_CASE("path tracer: behind a doorway as the oracle finds it") {
    const PlacedShoot shoot = doorway_shoot();
    const Take& take = shoot.takes.front();
    const Geometry geometry(shoot, present_subjects(shoot, take));
    // Wall beside the doorway and at its end, ground.
    const std::vector<glm::ivec2> corners_px{{440, 240}, {144, 272}, {480, 480}};
    const std::vector<TracedBlock> blocks = doorway_truth(shoot, corners_px, {});
    for (std::size_t b = 0; b < blocks.size(); ++b) {
        std::array<double, film_block_pixels> walked{};
        tbb::parallel_for(std::size_t{0}, film_block_pixels, [&](std::size_t pixel) {
            const auto number = static_cast<int>(pixel);
            walked[pixel] = oracle_one_bounce_lxs(
                shoot, take, geometry,
                corners_px[b] + glm::ivec2(number % film_block_side, number / film_block_side), 1,
                1500);
        });
        double mean = 0.0, squares = 0.0;
        for (const double pixel : walked) mean += pixel / film_block_pixels;
        for (const double pixel : walked) squares += std::pow(pixel - mean, 2);
        const double error = std::sqrt(squares) / film_block_pixels;
        MESSAGE("walks ", mean, " +- ", error, ", paths ", blocks[b].bounced_lxs, " +- ",
                blocks[b].bounced_error_lxs);
        REQUIRE(error < 0.04 * mean);
        CHECK_WITHIN(blocks[b].bounced_lxs, mean,
                     3.0 * std::hypot(error, blocks[b].bounced_error_lxs));
    }
}

TEST_CASE("path tracer: a block depends on no other") {
    const PlacedShoot shoot = doorway_shoot();
    const PathTracing little{.bounces = 2, .wanted_error = 0.1};
    const std::vector<glm::ivec2> corners_px{{440, 240}, {264, 320}, {480, 480}};
    const std::vector<TracedBlock> together = doorway_truth(shoot, corners_px, little);
    for (std::size_t b = 0; b < corners_px.size(); ++b) {
        const TracedBlock alone = doorway_truth(shoot, {corners_px[b]}, little).front();
        CHECK(alone.bounced_lxs == together[b].bounced_lxs);
        CHECK(alone.pixel_lxs == together[b].pixel_lxs);
        CHECK(alone.bounced_lxs > 0.0);
    }
}

TEST_CASE("path tracer: refuses lamps that fly, or are not there") {
    PlacedShoot shoot = doorway_shoot();
    const Geometry geometry(shoot, {});
    const Take& take = shoot.takes.front();
    CHECK_THROWS_AS(traced_blocks(shoot, take, "another", geometry, {{0, 0}}, {}),
                    std::invalid_argument);
    CHECK_THROWS_AS(traced_blocks(shoot, take, "lamp", geometry, {{0, 0}}, {.bounces = 4}),
                    std::invalid_argument);
    Flight flight;
    flight.height_m = 3.0;
    fly(shoot, bare_lamp("flown", 1.0), flight);
    CHECK_THROWS_AS(traced_blocks(shoot, take, "flown", geometry, {{0, 0}}, {}),
                    std::invalid_argument);
}
