// Breaks in a line: lamps put out or turned away on parts of a flight.
#include "scene/shoot/pen.h"

#include "scene/shoot/lit_lamp.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A lamp along 20 m in 10 s.
PlacedShoot along_a_line() {
    PlacedShoot shoot;
    shoot.camera.shutter_s = 12.0;
    Lamp lamp;
    lamp.name = "warm";
    shoot.lamps = {lamp};
    Flight flight;
    flight.name = "line";
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(0.0, 0.0, 5.0);
    flight.to_m = Vec3(20.0, 0.0, 5.0);
    flight.lap_s = 10.0;
    flight.carries = {"warm"};
    shoot.flights = {flight};
    Take take;
    take.name = "one";
    take.flights = {"line"};
    shoot.takes = {take};
    return shoot;
}

PenStretch part_of_line(double from, double to) {
    PenStretch stretch;
    stretch.flight = "line";
    stretch.part = {from, to};
    return stretch;
}

LitLamp the_lamp(const Shoot& shoot) {
    return lit_lamps(shoot, shoot.takes.front()).front();
}

}  // namespace

TEST_CASE("a stretch puts a flight's lamps out, others of the same drone too unless it names some") {
    PlacedShoot shoot = along_a_line();
    shoot.stretches = {part_of_line(0.25, 0.5)};
    shoot.stretches.front().lit = false;
    const LitLamp lit = the_lamp(shoot);
    REQUIRE(lit.lit.size() == 2);
    CHECK_WITHIN(lit.lit[0].to_s, 2.5, 1e-9);
    CHECK_WITHIN(lit.lit[1].from_s, 5.0, 1e-9);
    CHECK_WITHIN(lit.lit[1].to_s, 10.0, 1e-9);
    shoot.stretches.front().lamps = std::vector<std::string>{"another"};
    CHECK(the_lamp(shoot).lit.size() == 1);
}

TEST_CASE("a stretch turns a lamp while it goes on burning") {
    PlacedShoot shoot = along_a_line();
    shoot.stretches = {part_of_line(0.4, 0.6)};
    shoot.stretches.front().aim = Aim(Vec3(0.0, 2.0, 0.0));
    const LitLamp lit = the_lamp(shoot);
    CHECK_WITHIN(lit.lit_s(), 10.0, 1e-9);
    CHECK_WITHIN(aim_direction(lit, {}, 3.9), Vec3(0.0, 0.0, -1.0), 1e-12);
    CHECK_WITHIN(aim_direction(lit, {}, 4.1), Vec3(0.0, 1.0, 0.0), 1e-12);
    CHECK_WITHIN(aim_direction(lit, {}, 5.9), Vec3(0.0, 1.0, 0.0), 1e-12);
    CHECK_WITHIN(aim_direction(lit, {}, 6.1), Vec3(0.0, 0.0, -1.0), 1e-12);
    const std::vector<double> breaks_s = lit.breaks_s();
    for (const double turns_s : {4.0, 6.0}) {
        double nearest_s = 1.0;
        for (const double break_s : breaks_s)
            nearest_s = std::min(nearest_s, std::abs(break_s - turns_s));
        CHECK(nearest_s < 1e-9);
    }
}

TEST_CASE("of stretches over one another, none lights what one puts out, and the last one points") {
    PlacedShoot shoot = along_a_line();
    shoot.stretches = {part_of_line(0.0, 0.5), part_of_line(0.4, 1.0), part_of_line(0.45, 0.55)};
    shoot.stretches[0].aim = Aim(Vec3(1.0, 0.0, 0.0));
    shoot.stretches[1].aim = Aim(Vec3(0.0, 1.0, 0.0));
    shoot.stretches[2].lit = false;
    const LitLamp lit = the_lamp(shoot);
    CHECK_WITHIN(lit.lit_s(), 9.0, 1e-9);
    CHECK_WITHIN(aim_direction(lit, {}, 3.0), Vec3(1.0, 0.0, 0.0), 1e-12);
    CHECK_WITHIN(aim_direction(lit, {}, 4.2), Vec3(0.0, 1.0, 0.0), 1e-12);
    CHECK_WITHIN(aim_direction(lit, {}, 9.0), Vec3(0.0, 1.0, 0.0), 1e-12);
}

TEST_CASE("waypoints put the lamps out and turn them for the legs that begin at them") {
    PlacedShoot shoot = along_a_line();
    Flight& flight = shoot.flights.front();
    flight.shape = FlightShape::waypoints;
    for (const double east_m : {0.0, 5.0, 10.0, 20.0}) {
        Waypoint waypoint;
        waypoint.at_m = Vec3(east_m, 0.0, 5.0);
        flight.path.push_back(waypoint);
    }
    flight.path[1].lit = false;
    flight.path[2].aim = Aim(AimWord::ahead);
    const LitLamp lit = the_lamp(shoot);
    REQUIRE(lit.lit.size() == 2);  // one speed: 2.5 s for 5 m
    CHECK_WITHIN(lit.lit[0].to_s, 2.5, 1e-6);
    CHECK_WITHIN(lit.lit[1].from_s, 5.0, 1e-6);
    CHECK_WITHIN(aim_direction(lit, {}, 1.0), Vec3(0.0, 0.0, -1.0), 1e-12);
    CHECK_WITHIN(aim_direction(lit, {}, 7.0), Vec3(1.0, 0.0, 0.0), 1e-9);
}

TEST_CASE("a drone that hovers lights for as long as it does, and holds belong to the leg ahead") {
    PlacedShoot shoot = along_a_line();
    Flight& flight = shoot.flights.front();
    flight.shape = FlightShape::hover;
    flight.lap_s = 7.0;
    CHECK_WITHIN(the_lamp(shoot).lit_s(), 7.0, 1e-9);
    flight.shape = FlightShape::waypoints;
    flight.lap_s.reset();
    flight.limits = {2.0, 1.0};
    flight.path = {Waypoint{Vec3(0.0, 0.0, 5.0)}, Waypoint{Vec3(4.0, 0.0, 5.0)},
                   Waypoint{Vec3(8.0, 0.0, 5.0)}};
    flight.path[1].hold_s = 3.0;
    flight.path[1].lit = false;
    // Rest to rest over 4 m within 2 m/s and 1 m/s2: s/v + v/a = 4 s.
    const LitLamp lit = the_lamp(shoot);
    REQUIRE(lit.lit.size() == 1);
    CHECK_WITHIN(lit.lit[0].to_s, 4.0, 1e-6);
}
