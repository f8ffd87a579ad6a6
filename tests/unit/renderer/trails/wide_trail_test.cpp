#include <doctest/doctest.h>
#include <tbb/global_control.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "renderer/trails/lamp_trail.h"
#include "renderer/trails/star_trails.h"
#include "scene/camera/lens_light.h"
#include "scene/camera/trail_width.h"
#include "tests/film.h"
#include "tests/unit/renderer/lamp_light/lit_tile.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A fast lens that is focused close up, and a bare lamp far behind that.
PlacedShoot close_focus() {
    PlacedShoot shoot = dark_shoot({240, 160});
    Camera& camera = shoot.camera;
    camera.position_m = {0.0, -20.0, 2.0};
    camera.look_at_m = Vec3(0.0, 0.0, 2.0);
    camera.focal_mm = 50.0;
    camera.f_number = 1.4;
    camera.focus_m = 0.8;
    return shoot;
}

TrailFilm trail_of(const PlacedShoot& shoot, int side) {
    const Camera& camera = shoot.camera;
    TrailFilm film(camera.pixels.x, camera.pixels.y, side);
    CHECK(add_trail(camera, {camera.shutter_s, camera.f_number, camera.iso},
                    Geometry(std::vector<const Mesh*>{}), first_track(shoot), film));
    return film;
}

PlacedShoot crossing() {
    PlacedShoot shoot = close_focus();
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(-3.0, -2.0, 1.0);
    flight.to_m = Vec3(4.0, 3.0, 3.0);
    flight.speed_m_s = 2.0;
    fly(shoot, bare_lamp("lamp", 100.0), flight);
    return shoot;
}

}  // namespace

// The circle of the thin lens is c = f^2 / (N (s - f)) (D - s) / D; in it lie
// (pi/4) T v (f/N)^2 I t / D^2 lux seconds mm2.
TEST_CASE("a standing lamp out of focus is an even disc as wide as the thin lens draws it") {
    PlacedShoot shoot = close_focus();
    stand(shoot, bare_lamp("lamp", 100.0), {0.0, 0.0, 2.0});
    const Camera& camera = shoot.camera;
    constexpr double circle_mm = 50.0 * 50.0 / (1.4 * 750.0) * (20.0 - 0.8) / 20.0;
    const double radius_px = 0.5 * circle_mm / (36.0 / 240.0);
    const double light = LensLight(camera).point_gain(1.4) * 100.0 * camera.shutter_s / 400.0;
    for (const int side : {1, 6}) {
        const Image film = trail_of(shoot, side).picture();
        CHECK_RELATIVE(sum_of(film), light, 1e-3);
        const double level = light / (pi * radius_px * radius_px);
        // The soft edge is one part wide, here a seventh of the radius or a fortieth.
        const double edge_share = side == 1 ? 1e-2 : 2e-3;
        for (int y = 60; y < 100; ++y)
            for (int x = 100; x < 140; ++x) {
                const double off = glm::distance(Vec2(x + 0.5, y + 0.5), Vec2(120.0, 80.0));
                if (off < radius_px - 1.5)
                    CHECK_RELATIVE(luminance_of(film.at(x, y)), level, edge_share);
                else if (off > radius_px + 1.5)
                    CHECK(film.at(x, y) == glm::vec3(0.0f));
            }
    }
}

TEST_CASE("a trail out of focus has the light of the lamp, and the same bytes for any threads") {
    const PlacedShoot shoot = crossing();
    const Camera& camera = shoot.camera;
    const LampTrack track = first_track(shoot);
    constexpr int instants = 4000;
    double light = 0.0;
    for (int i = 0; i < instants; ++i) {
        const float time_s = track.lit_s() * (static_cast<float>(i) + 0.5f) / instants;
        const Vec3 to_lens = camera.position_m - Vec3(track.at(time_s).position_m);
        const double distance_m = glm::length(to_lens);
        light += LensLight(camera).point_gain(camera.f_number) * 100.0 * (-to_lens.y / distance_m) /
                 (distance_m * distance_m) * static_cast<double>(track.lit_s()) / instants;
    }
    for (const int side : {1, 6}) {
        std::vector<Image> pictures;
        for (const std::size_t threads : {1u, 2u, 5u}) {
            const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
            pictures.push_back(trail_of(shoot, side).picture());
        }
        CHECK_RELATIVE(sum_of(pictures.front()), light, 1e-3);
        for (const Image& picture : pictures)
            CHECK(std::ranges::equal(picture.pixels, pictures.front().pixels));
    }
}

TEST_CASE("trails of lamps and stars are left off when a stop is asked for") {
    const PlacedShoot shoot = crossing();
    const Camera& camera = shoot.camera;
    const ExposureSettings settings{camera.shutter_s, camera.f_number, camera.iso};
    const Geometry nothing(std::vector<const Mesh*>{});
    std::stop_source stop;
    stop.request_stop();
    TrailFilm film(camera.pixels.x, camera.pixels.y, 1);
    CHECK_FALSE(add_trail(camera, settings, nothing, first_track(shoot), film, stop.get_token()));
    CHECK_FALSE(
        add_stars(camera, settings, nothing, StarField{}, {{0.0, 60.0}}, film, stop.get_token()));
    CHECK(film.pixels().empty());
}
