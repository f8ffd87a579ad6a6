// What must stay the same on film when a shoot with drawn lines, curtains and pens changes.
#include <tbb/global_control.h>

#include <cmath>
#include <string>
#include <vector>

#include "renderer/develop/photograph.h"
#include "renderer/develop/tone.h"
#include "scene/flights/figure.h"
#include "tests/drawn_lines.h"
#include "tests/film.h"
#include "tests/icosphere.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A boot: neither side of it is like the other, and it has a curve, a corner and a second stroke.
SvgDrawing boot() {
    SvgDrawing drawing;
    drawing.strokes.push_back({{{0, 0}, {3, 0}, {3, 5}, {7, 6}, {8, 8}, {0, 8}},
                               {true, true, true, false, true, true},
                               true});
    drawing.strokes.push_back({{{1, 2}, {2, 2}}, {true, true}, false});
    return drawing;
}

/// A boot in the air and a ball beneath, seen from a bearing.
PlacedShoot boot_seen_from(double bearing_deg, bool mirrored) {
    PlacedShoot shoot = dark_shoot({60, 40});
    shoot.camera.position_m = 9.0 * direction_of(radians(bearing_deg)) + Vec3(0.0, 0.0, 1.7);
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 2.2);
    shoot.camera.focal_mm = 20.0;
    shoot.camera.f_number = 5.6;
    shoot.camera.shutter_s = 60.0;
    add_subject(shoot, "ball", icosphere({0.0, 0.0, 0.6}, 0.6, 4, false));
    Flight flight;
    flight.shape = FlightShape::figure;
    flight.limits = {2.0, 1.5};
    flight.path = lay_figure(boot(),
                             {.centre_m = {0.0, 0.0, 3.5},
                              .facing_deg = bearing_deg,
                              .tilt_deg = 20.0,
                              .width_m = 4.0,
                              .mirrored = mirrored,
                              .seen_from_m = shoot.camera.position_m},
                             false);
    Lamp lamp = lobe_lamp("lamp", 200.0, 2.0);
    lamp.spill = 0.1;
    fly(shoot, lamp, flight);
    return shoot;
}

Image left_for_right(const Image& film) {
    Image turned(film.width, film.height);
    for (int y = 0; y < film.height; ++y)
        for (int x = 0; x < film.width; ++x) turned.at(x, y) = film.at(film.width - 1 - x, y);
    return turned;
}

/// Waypoints with a lamp put out and turned, and after them a star with a curtain, by one drone.
PlacedShoot drawn_night() {
    PlacedShoot shoot = dark_shoot({42, 30});
    shoot.camera.position_m = {1.0, -9.0, 1.5};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 2.4);
    shoot.camera.focal_mm = 18.0;
    shoot.camera.f_number = 4.0;
    shoot.camera.shutter_s = 50.0;
    shoot.air.wind_m_s = 4.0;
    add_subject(shoot, "ball", icosphere({0.0, 0.0, 0.9}, 0.9, 3, false));
    Flight line = cornered_flight(
        {{-3.0, 0.0, 3.0}, {0.0, 2.0, 4.0}, {2.0, -1.0, 3.0}, {3.0, 1.0, 4.5}}, 1.5);
    line.limits = {2.0, 1.5};
    line.path[1].lit = false;
    line.path[2].aim = Aim(AimWord::ahead);
    Lamp warm = lobe_lamp("warm", 300.0, 3.0);
    warm.spill = 0.05;
    warm.offset_m = {0.3, 0.1, -0.1};
    warm.mount = Mount::fixed;
    fly(shoot, warm, line);
    Lamp strip = bare_lamp("strip", 40.0);
    strip.hang_m = 1.2;
    Flight star;
    star.name = "star";
    star.shape = FlightShape::star;
    star.height_m = 4.0;
    star.radius_m = 1.8;
    star.limits = {2.0, 1.5};
    star.speed_m_s = 1.5;
    star.after = shoot.flights.front().name;
    star.lit_between = true;
    star.carries = {"warm", "strip"};
    shoot.lamps.push_back(strip);
    shoot.flights.push_back(star);
    shoot.takes.front().flights.push_back("star");
    return shoot;
}

}  // namespace

TEST_CASE("drawn lines, pens and curtains: one thread or two, the same bytes") {
    const PlacedShoot shoot = drawn_night();
    std::vector<ExposedTake> alone;
    std::vector<std::uint8_t> bytes;
    for (const std::size_t threads : {1u, 2u}) {
        const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
        auto takes = expose(shoot, {.quality = Quality::draft, .bounces = 1});
        REQUIRE(takes.has_value());
        const std::vector<std::uint8_t> now = develop_srgb8(photograph(shoot, *takes));
        if (alone.empty()) {
            alone = std::move(*takes);
            bytes = now;
            continue;
        }
        for (const std::string name :
             {"warm.surface", "warm.trail", "strip.surface", "strip.trail"}) {
            CHECK(sum_of(layer_of(alone.front(), name)) > 0.0);
            CHECK_MESSAGE(
                layer_of(alone.front(), name).pixels == layer_of(takes->front(), name).pixels,
                name);
        }
        CHECK(now == bytes);
    }
}

TEST_CASE("a flight that begins later, under a shutter open longer, leaves the same film") {
    PlacedShoot shoot = drawn_night();
    const RenderSettings draft{.quality = Quality::draft, .bounces = 0};
    const ExposedTake one = exposed(shoot, draft);
    shoot.flights.front().start_s = 3.0;
    shoot.camera.shutter_s += 3.0;
    const ExposedTake later = exposed(shoot, draft);
    // The clock's rounding alone.
    for (const std::string name : {"warm.surface", "warm.trail", "strip.surface", "strip.trail"})
        check_same_film(name, layer_of(later, name), layer_of(one, name), 1e-4, 2e-3);
}

TEST_CASE("a flight that is still under way when the shutter closes is cut there") {
    PlacedShoot shoot = drawn_night();
    const RenderSettings draft{.quality = Quality::draft, .bounces = 0};
    shoot.takes.front().flights.pop_back();
    shoot.flights.pop_back();
    shoot.flights.front().path[1].lit = true;
    shoot.flights.front().start_s = 2.0;
    shoot.camera.shutter_s = 6.0;
    const ExposedTake cut = exposed(shoot, draft);
    shoot.camera.shutter_s = 50.0;
    shoot.lamps.front().lit_s = TimeWindows{{2.0, 6.0}};
    const ExposedTake switched = exposed(shoot, draft);
    for (const std::string name : {"warm.surface", "warm.trail"})
        check_same_film(name, layer_of(cut, name), layer_of(switched, name), 1e-4, 2e-3);
}

// The ball's facets and the ground's shadows round differently: edges move by the noise of a pixel.
TEST_CASE("a figure looks the same from wherever the camera stands that it faces") {
    const RenderSettings good{.quality = Quality::good, .bounces = 0};
    const ExposedTake one = exposed(boot_seen_from(180.0, false), good);
    for (const double bearing_deg : {90.0, 335.0}) {
        const ExposedTake other = exposed(boot_seen_from(bearing_deg, false), good);
        check_same_film("trail", layer_of(other, "lamp.trail"), layer_of(one, "lamp.trail"), 1e-3,
                        0.01);
        check_same_film("surfaces", layer_of(other, "lamp.surface"), layer_of(one, "lamp.surface"),
                        2e-3, 0.02);
    }
}

TEST_CASE("a mirrored figure is the film's mirror image") {
    const RenderSettings good{.quality = Quality::good, .bounces = 0};
    // The ball's outline falls otherwise on the places within pixels that are looked at.
    const auto film = [&](bool mirrored) {
        PlacedShoot shoot = boot_seen_from(180.0, mirrored);
        shoot.subjects.clear();
        shoot.meshes.clear();
        return exposed(shoot, good);
    };
    const ExposedTake one = film(false);
    const ExposedTake other = film(true);
    check_same_film("trail", left_for_right(layer_of(other, "lamp.trail")),
                    layer_of(one, "lamp.trail"), 1e-3, 0.01);
    check_same_film("surfaces", left_for_right(layer_of(other, "lamp.surface")),
                    layer_of(one, "lamp.surface"), 2e-3, 0.03);
    // And not the same.
    CHECK(film_error(layer_of(other, "lamp.trail"), layer_of(one, "lamp.trail")).pixels > 1.0);
}
