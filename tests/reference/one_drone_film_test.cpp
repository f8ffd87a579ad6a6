// Flights that one drone flies one after another with one lamp, on film: the sum of what each of
// them leaves alone.
#include <cmath>
#include <string>
#include <vector>

#include "tests/drawn_lines.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

const RenderSettings as_good{.quality = Quality::good, .bounces = 0};

Flight low_circle() {
    Flight flight;
    flight.height_m = 2.5;
    flight.centre_m = {0.0, 5.0};
    flight.radius_m = 2.0;
    flight.lap_s = 8.0;
    return flight;
}

/// 7.5 m above the circle's start, from rest to rest.
Flight high_corner() {
    Flight flight = cornered_flight({{0.0, 3.0, 10.0}, {5.0, 5.0, 8.0}, {4.0, 9.0, 6.0}}, 2.0);
    flight.limits = {3.0, 1.5};
    return flight;
}

/// From rest to rest over 7.5 m within 3 m/s and 1.5 m/s2: s / v + v / a.
constexpr double way_s = 7.5 / 3.0 + 3.0 / 1.5;

PlacedShoot before_it() {
    PlacedShoot shoot = dark_shoot({90, 60});
    shoot.camera.position_m = {0.0, -8.0, 1.7};
    shoot.camera.look_at_m = Vec3(0.0, 5.0, 5.0);
    shoot.camera.focal_mm = 20.0;
    shoot.camera.f_number = 5.6;
    shoot.camera.shutter_s = 60.0;
    return shoot;
}

PlacedShoot with_one_drone() {
    PlacedShoot shoot = before_it();
    fly(shoot, bare_lamp("lamp", 60.0), low_circle());
    Flight second = high_corner();
    second.name = "second";
    second.after = shoot.flights.front().name;
    second.carries = {"lamp"};
    shoot.flights.push_back(second);
    shoot.takes.front().flights.push_back("second");
    return shoot;
}

}  // namespace

TEST_CASE("one drone with one lamp on two flights leaves what two drones with two such lamps do") {
    const ExposedTake one = exposed(with_one_drone(), as_good);
    PlacedShoot two = before_it();
    fly(two, bare_lamp("first", 60.0), low_circle());
    fly(two, bare_lamp("second", 60.0), high_corner());
    const ExposedTake both = exposed(two, as_good);
    // Both differ by the places of their steps in time alone.
    check_same_film("trail", layer_of(one, "lamp.trail"),
                    sum_of_films({layer_of(both, "first.trail"), layer_of(both, "second.trail")}),
                    1e-4, 3e-3);
    check_same_film(
        "surfaces", layer_of(one, "lamp.surface"),
        sum_of_films({layer_of(both, "first.surface"), layer_of(both, "second.surface")}), 5e-4,
        3e-3);
}

TEST_CASE("two flights of one drone in one take leave what they do in two takes") {
    PlacedShoot shoot = with_one_drone();
    const ExposedTake one = exposed(shoot, as_good);
    Take other = shoot.takes.front();
    shoot.takes.front().flights.pop_back();
    other.name = "other";
    other.flights = {"second"};
    shoot.takes.push_back(other);
    shoot.photograph.takes = {"take", "other"};
    const auto takes = expose(shoot, as_good);
    REQUIRE(takes.has_value());
    REQUIRE(takes->size() == 2);
    check_same_film(
        "trail", layer_of(one, "lamp.trail"),
        sum_of_films({layer_of((*takes)[0], "lamp.trail"), layer_of((*takes)[1], "lamp.trail")}),
        1e-4, 3e-3);
    check_same_film("surfaces", layer_of(one, "lamp.surface"),
                    sum_of_films({layer_of((*takes)[0], "lamp.surface"),
                                  layer_of((*takes)[1], "lamp.surface")}),
                    5e-4, 3e-3);
}

TEST_CASE("the way between two flights is dark, or drawn by the time it takes") {
    PlacedShoot shoot = with_one_drone();
    // Sees the way, 200 m off, and nothing else: its middle, where it goes 3 m/s.
    shoot.camera.pixels = {60, 60};
    look_up(shoot.camera, {0.0, 3.0, 6.25}, 1.5);
    shoot.camera.position_m = {0.0, -197.0, 6.25};
    shoot.camera.focus_m = 200.0;
    shoot.camera.focal_mm = 36.0 * 200.0 / 1.5;
    const auto trail = [&] {
        return layer_of(exposed(shoot, {.quality = Quality::draft, .bounces = 0}), "lamp.trail");
    };
    CHECK(sum_of(trail()) == 0.0);
    shoot.flights[1].lit_between = true;
    CHECK_RELATIVE(drawn_lxs_mm2(shoot.camera, trail()),
                   drawn_lx_mm2(shoot.camera, 60.0, {0.0, 3.0, 6.25}) * 1.5 / 3.0, 0.01);
    // The whole of it.
    look_up(shoot.camera, {0.0, 3.0, 6.25}, 9.0);
    shoot.camera.position_m = {0.0, -197.0, 6.25};
    shoot.camera.focal_mm = 36.0 * 200.0 / 9.0;
    shoot.camera.focus_m = 200.0;
    const double with_way = drawn_lxs_mm2(shoot.camera, trail());
    shoot.flights[1].lit_between = false;
    const double without = drawn_lxs_mm2(shoot.camera, trail());
    CHECK_RELATIVE(with_way - without, drawn_lx_mm2(shoot.camera, 60.0, {0.0, 3.0, 6.25}) * way_s,
                   0.01);
}
