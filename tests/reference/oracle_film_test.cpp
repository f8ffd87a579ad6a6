// The shutter integral and the bounce against the oracle, on the demo scenes.
#include <cmath>
#include <string>

#include <tbb/parallel_for.h>

#include "renderer/sampling/effort.h"
#include "scene/shoot/presence.h"
#include "tests/film.h"
#include "tests/icosphere.h"
#include "tests/reference/oracle.h"
#include "tests/reference/oracle_films.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A ball and a post on the ground and a halo over them, flown from rest to rest.
PlacedShoot changing_shoot() {
    PlacedShoot shoot = dark_shoot({120, 80});
    shoot.camera.position_m = {0.5, -9.0, 1.8};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 1.2);
    shoot.camera.focal_mm = 24.0;
    shoot.camera.shutter_s = 16.0;
    add_subject(shoot, "ball", icosphere({-0.8, 0.0, 0.9}, 0.9, 4, false));
    add_subject(shoot, "stone", icosphere({1.3, -1.0, 0.5}, 0.5, 4, false));
    Flight halo;
    halo.height_m = 4.0;
    halo.radius_m = 3.0;
    halo.pace = Pace::shutter;
    halo.limits = {std::nullopt, 0.6};
    Lamp lamp = lobe_lamp("lamp", 200.0, 3.0);
    lamp.spill = 0.05;
    fly(shoot, lamp, halo);
    return shoot;
}

/// The same ball and stone under a line of corners, put out and turned from waypoint to waypoint
/// and by the scene.
PlacedShoot drawn_shoot() {
    PlacedShoot shoot = changing_shoot();
    shoot.camera.pixels = {72, 48};
    Flight& flight = shoot.flights.front();
    flight.shape = FlightShape::waypoints;
    flight.pace = Pace::given;
    flight.speed_m_s = 1.8;
    flight.corner_radius_m = 0.5;
    flight.limits = {1.8, 1.0};
    for (const Vec3& at_m : {Vec3(-3.0, -2.0, 3.0), Vec3(-1.0, 2.0, 4.0), Vec3(1.0, -1.0, 3.5),
                             Vec3(2.5, 2.0, 4.0), Vec3(-2.5, 2.5, 2.5)})
        flight.path.push_back(Waypoint{at_m});
    flight.path[1].aim = Aim(AimAtSubject{"ball"});
    flight.path[2].lit = false;
    PenStretch stretch;
    stretch.flight = flight.name;
    stretch.part = {0.75, 0.9};
    stretch.aim = Aim(Vec3(0.5, 0.3, -1.0));
    shoot.stretches = {stretch};
    return shoot;
}

}  // namespace

TEST_CASE("oracle: direct light of the sweep scene") {
    check_demo("ruin-sweep", Quality::good, "good");
}

TEST_CASE("oracle: direct light of the helix scene") {
    check_demo("shore-helix", Quality::good, "good");
}

TEST_CASE("oracle: direct light of the ring scene") {
    check_demo("stone-ring", Quality::good, "good");
}

TEST_CASE("oracle: a flight from rest to rest") {
    check_films("limits", changing_shoot(), Quality::good, "good", 512);
}

TEST_CASE("oracle: a lamp that burns twice within an exposure") {
    PlacedShoot shoot = changing_shoot();
    shoot.lamps.front().lit_s = TimeWindows{{1.5, 4.25}, {9.0, 30.0}};
    check_films("windows", shoot, Quality::good, "good", 512);
}

// Sixteen flashes of 0.25 s are sixteen instants each of the oracle's 1024.
TEST_CASE("oracle: a flown beacon") {
    PlacedShoot shoot = changing_shoot();
    shoot.lamps.front().pulse = {60.0, 0.25, 0.125};
    check_films("beacon", shoot, Quality::good, "good", 1024);
}

TEST_CASE("oracle: someone stands there for a part of the exposure, and a lamp for another") {
    PlacedShoot shoot = changing_shoot();
    shoot.lamps.front().lit_s = TimeWindows{{2.0, 14.0}};
    shoot.subjects[0].present_s = TimeWindows{{0.0, 6.5}, {11.0, 16.0}};
    shoot.subjects[1].present_s = TimeWindows{{5.0, 30.0}};
    check_films("presences", shoot, Quality::good, "good", 1024);
}

// Beams that pass over a ball, a stone and the ground between them: where an edge stands in their
// way, and on faces that turn away from them.
TEST_CASE("oracle: narrow beams over things that stand in their way") {
    for (const double beam_deg : {15.0, 30.0}) {
        PlacedShoot shoot = changing_shoot();
        shoot.lamps.front().beam_deg = beam_deg;
        shoot.lamps.front().aim = Vec3(0.3, 0.2, -1.0);
        shoot.flights.front().radius_m = 1.5;
        check_films("beam of " + std::to_string(beam_deg), shoot, Quality::good, "good", 1024);
    }
}

TEST_CASE("oracle: waypoints, put out and turned on their way") {
    check_films("waypoints", drawn_shoot(), Quality::good, "good", 512);
}

TEST_CASE("oracle: a star and then waypoints by one drone with one lamp") {
    PlacedShoot shoot = drawn_shoot();
    Flight star;
    star.name = "star";
    star.shape = FlightShape::star;
    star.height_m = 4.0;
    star.radius_m = 2.0;
    star.facing_deg = 150.0;
    star.tilt_deg = 60.0;
    star.speed_m_s = 1.5;
    star.limits = {1.5, 1.0};
    star.carries = {"lamp"};
    shoot.flights.front().after = "star";
    shoot.flights.front().lit_between = true;
    shoot.flights.push_back(star);
    shoot.takes.front().flights.push_back("star");
    shoot.camera.shutter_s = 40.0;
    check_films("star", shoot, Quality::good, "good", 512);
}

// A lamp flown past a pale ball over pale ground, against random walks of one bounce.
TEST_CASE("oracle: light after one bounce") {
    PlacedShoot shoot = dark_shoot({320, 240});
    shoot.ground.reflectance = {0.6, 0.5, 0.3};
    Mesh ball = icosphere({0.0, 0.0, 1.6}, 1.4, 4, false);
    ball.materials = {{{0.4, 0.6, 0.7}, SurfaceRelief::none}};
    add_subject(shoot, "ball", ball);
    Flight flight;
    flight.height_m = 5.0;
    flight.radius_m = 3.0;
    flight.lap_s = 20.0;
    fly(shoot, lobe_lamp("lamp", 300.0, 3.0), flight);
    shoot.camera.shutter_s = 20.0;
    shoot.camera.position_m = {0.5, -6.0, 1.8};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 1.3);
    shoot.camera.focal_mm = 35.0;

    const Image direct =
        layer_of(exposed(shoot, {.quality = Quality::fine, .bounces = 0}), "lamp.surface");
    const Image all =
        layer_of(exposed(shoot, {.quality = Quality::fine, .bounces = 1}), "lamp.surface");
    const Take& take = shoot.takes.front();
    const Geometry geometry(shoot, present_subjects(shoot, take));
    std::vector<glm::ivec2> pixels;
    for (int y = 20; y < 240; y += 28)
        for (int x = 85; x < 240; x += 30) pixels.emplace_back(x, y);
    std::vector<double> truth(pixels.size());
    tbb::parallel_for(std::size_t{0}, pixels.size(), [&](std::size_t i) {
        truth[i] = oracle_one_bounce_lxs(shoot, take, geometry, pixels[i],
                                         effort_of(Quality::fine).film_samples, 4000);
    });
    double film_sum = 0.0;
    double truth_sum = 0.0;
    double squares = 0.0;
    int lit = 0;
    double mean = 0.0;
    for (const double value : truth) mean += value / static_cast<double>(truth.size());
    for (std::size_t i = 0; i < pixels.size(); ++i) {
        const double film = luminance_of(all.at(pixels[i].x, pixels[i].y)) -
                            luminance_of(direct.at(pixels[i].x, pixels[i].y));
        film_sum += film;
        truth_sum += truth[i];
        if (truth[i] < 0.1 * mean) continue;
        squares += (film / truth[i] - 1.0) * (film / truth[i] - 1.0);
        ++lit;
    }
    REQUIRE(lit >= 20);
    MESSAGE("bounce at ", lit, " pixels: relative rmse ", 100.0 * std::sqrt(squares / lit),
            " %, sum off by ", 100.0 * (film_sum / truth_sum - 1.0), " %");
    CHECK(std::sqrt(squares / lit) < 0.02);
    CHECK_RELATIVE(film_sum, truth_sum, 0.01);
}
