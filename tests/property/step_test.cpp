// Light on surfaces by the surface pass, at an effort of the test's own: finer steps, another order
// of lamps, the world turned about and far off.
#include <algorithm>
#include <cmath>
#include <map>
#include <string>

#include "renderer/surface_light/surface_pass.h"
#include "scene/shoot/lit_lamp.h"
#include "scene/shoot/presence.h"
#include "tests/film.h"
#include "tests/icosphere.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr Effort good = effort_of(Quality::good);

/// A ball and a thin upright board on level ground, a halo, a pass and a standing lamp.
PlacedShoot evening() {
    PlacedShoot shoot = dark_shoot({64, 48});
    shoot.camera.position_m = {0.8, -8.0, 2.2};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 0.8);
    shoot.camera.focal_mm = 24.0;
    shoot.camera.shutter_s = 16.0;
    add_subject(shoot, "ball", icosphere({-0.8, 0.0, 0.9}, 0.9, 4, false));
    add_subject(shoot, "stone", icosphere({1.3, -1.0, 0.5}, 0.5, 4, false));
    Flight halo;
    halo.height_m = 4.0;
    halo.radius_m = 3.0;
    halo.lap_s = 16.0;
    Lamp warm = lobe_lamp("warm", 200.0, 3.0);
    warm.spill = 0.05;
    fly(shoot, warm, halo);
    Flight pass;
    pass.shape = FlightShape::line;
    pass.from_m = Vec3(-6.0, 1.5, 3.0);
    pass.to_m = Vec3(5.0, -1.0, 2.0);
    pass.lap_s = 16.0;
    fly(shoot, bare_lamp("pass", 60.0), pass);
    stand(shoot, bare_lamp("post", 20.0), {-3.0, -2.0, 1.2});
    return shoot;
}

/// The lamps' films by name.
std::map<std::string, Image> lamp_films(const PlacedShoot& shoot, const Effort& effort) {
    const Take& take = shoot.takes.front();
    const Geometry geometry(shoot, present_subjects(shoot, take));
    PassLight light{geometry};
    for (const LitLamp& lit : lit_lamps(shoot, take))
        light.lamps.push_back({.track = LampTrack(lit, {}), .name = lit.lamp->name});
    REQUIRE(surface_pass(shoot.camera, light, effort, [](double) {}, {}));
    std::map<std::string, Image> by_name;
    for (LampPass& lamp : light.lamps) by_name[lamp.name] = std::move(lamp.film);
    return by_name;
}

/// Relative difference of two films of one light: of the sums, and of the pixels, each its own, rms
/// over those brighter than a tenth of the mean.
struct Apart {
    double sums;
    double pixels;
};

Apart apart_of(const Image& one, const Image& other) {
    REQUIRE(one.pixels.size() == other.pixels.size());
    const double least = 0.1 * sum_of(one) / static_cast<double>(one.pixels.size());
    double squares = 0.0;
    int bright = 0;
    for (std::size_t i = 0; i < one.pixels.size(); ++i) {
        if (luminance_of(one.pixels[i]) < least) continue;
        const double off = luminance_of(other.pixels[i]) / luminance_of(one.pixels[i]) - 1.0;
        squares += off * off;
        ++bright;
    }
    REQUIRE(bright > 500);
    return {std::abs(sum_of(other) / sum_of(one) - 1.0), std::sqrt(squares / bright)};
}

Effort halved(Effort effort) {
    effort.first_instants = std::min(2 * effort.first_instants, 16);
    effort.solved_instants = std::min(2 * effort.solved_instants, 64);
    effort.smooth_error *= 0.5f;
    effort.shadow_error *= 0.5f;
    return effort;
}

/// Turns about the vertical through the origin, clockwise seen from above, then moves.
struct Motion {
    double turn_deg;
    Vec3 by_m;

    Vec3 direction(const Vec3& d) const {
        const double c = std::cos(radians(turn_deg)), s = std::sin(radians(turn_deg));
        return {c * d.x + s * d.y, c * d.y - s * d.x, d.z};
    }
    Vec3 place(const Vec3& p) const { return direction(p) + by_m; }
};

PlacedShoot moved(PlacedShoot shoot, const Motion& motion) {
    for (Mesh& mesh : shoot.meshes) {
        for (glm::vec3& p : mesh.positions) p = glm::vec3(motion.place(Vec3(p)));
        for (glm::vec3& n : mesh.normals) n = glm::vec3(motion.direction(Vec3(n)));
    }
    for (Flight& flight : shoot.flights) {
        flight.centre_m = Vec2(motion.place(Vec3(flight.centre_m, 0.0)));
        flight.start_bearing_deg += motion.turn_deg;
        if (flight.from_m) flight.from_m = motion.place(*flight.from_m);
        if (flight.to_m) flight.to_m = motion.place(*flight.to_m);
    }
    for (Lamp& lamp : shoot.lamps)
        if (lamp.position_m) lamp.position_m = motion.place(*lamp.position_m);
    shoot.camera.position_m = motion.place(shoot.camera.position_m);
    shoot.camera.look_at_m = motion.place(*shoot.camera.look_at_m);
    return shoot;
}

}  // namespace

// Both films have errors about the bound of a pixel's light, the finer one half of it: 1.12 times
// the coarser bound apart where all pixels are at their bound, and some pixels are over it.
TEST_CASE("half of every step of the effort: the same film") {
    const PlacedShoot shoot = evening();
    for (const Quality quality : {Quality::draft, Quality::good}) {
        const Effort effort = effort_of(quality);
        const auto coarse = lamp_films(shoot, effort);
        for (const auto& [name, fine] : lamp_films(shoot, halved(effort))) {
            const Apart apart = apart_of(fine, coarse.at(name));
            const auto bound = static_cast<double>(effort.shadow_error);
            INFO(name, ", bound ", bound, ": sums ", apart.sums, ", pixels ", apart.pixels);
            CHECK(apart.pixels < 1.3 * bound);
            CHECK(apart.sums < 0.12 * bound);
        }
    }
}

TEST_CASE("lamps in another order: the same films of direct light, bit for bit") {
    PlacedShoot shoot = evening();
    const auto one = lamp_films(shoot, good);
    REQUIRE(one.size() == 3);
    const std::string first = lit_lamps(shoot, shoot.takes.front()).front().lamp->name;
    std::ranges::reverse(shoot.lamps);
    std::ranges::reverse(shoot.takes.front().flights);
    CHECK(lit_lamps(shoot, shoot.takes.front()).front().lamp->name != first);
    for (const auto& [name, film] : lamp_films(shoot, good))
        CHECK_MESSAGE(film.pixels == one.at(name).pixels, name);
}

// A turned mesh rounds anew, so that a ray at an edge falls to the other side and a block to the
// other verdict: what differs is at most the error of both films. A kilometre off, single precision
// keeps 0.06 mm.
TEST_CASE("the world turned about, or a kilometre off: the same film") {
    const PlacedShoot shoot = evening();
    const auto here = lamp_films(shoot, good);
    for (const Motion& motion : {Motion{90.0, {0.0, 0.0, 0.0}},
                                 {37.3, {0.0, 0.0, 0.0}},
                                 {0.0, {1000.0, 0.0, 0.0}},
                                 {211.0, {-600.0, 800.0, 0.0}}})
        for (const auto& [name, there] : lamp_films(moved(shoot, motion), good)) {
            const Apart apart = apart_of(here.at(name), there);
            INFO(name, " turned by ", motion.turn_deg, ": sums ", apart.sums, ", pixels ",
                 apart.pixels);
            CHECK(apart.pixels < 0.012);
            CHECK(apart.sums < 1e-3);
        }
}
