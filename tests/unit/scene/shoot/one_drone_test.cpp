// Flights of one drone: one after another, dark on the way between them unless told otherwise.
#include "scene/shoot/flown_flight.h"

#include <cmath>

#include "scene/shoot/lit_lamp.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Flight straight(const std::string& name, const Vec3& from_m, const Vec3& to_m) {
    Flight flight;
    flight.name = name;
    flight.shape = FlightShape::line;
    flight.from_m = from_m;
    flight.to_m = to_m;
    flight.lap_s = 5.0;
    flight.carries = {"warm"};
    return flight;
}

/// Two lines of 5 s, the second beginning 12 m above the end of the first, by one drone.
Shoot two_lines() {
    Shoot shoot;
    shoot.camera.shutter_s = 60.0;
    Lamp lamp;
    lamp.name = "warm";
    shoot.lamps = {lamp};
    Flight low = straight("low", {0.0, 0.0, 4.0}, {10.0, 0.0, 4.0});
    Flight high = straight("high", {10.0, 0.0, 16.0}, {0.0, 0.0, 16.0});
    high.after = "low";
    shoot.flights = {low, high};
    Take take;
    take.name = "one";
    take.flights = {"low", "high"};
    shoot.takes = {take};
    return shoot;
}

// From rest to rest over 12 m within 4 m/s and 1.5 m/s2, elementary mechanics: s/v + v/a.
constexpr double way_s = 12.0 / 4.0 + 4.0 / 1.5;

}  // namespace

TEST_CASE("a flight begins when the drone has come over from the flight before") {
    Shoot shoot = two_lines();
    auto flown = flown_flights(shoot, shoot.takes.front());
    REQUIRE(flown.size() == 2);
    CHECK(flown[0].path.begins_s() == 0.0);
    CHECK_WITHIN(flown[1].path.begins_s(), 5.0 + way_s, 1e-9);
    CHECK_WITHIN(flown[1].flown_s, 5.0, 1e-9);
    const auto ways = flown_ways(shoot, shoot.takes.front(), flown);
    REQUIRE(ways.size() == 1);
    CHECK(ways.front().from->name == "low");
    CHECK(ways.front().flight->name == "high");
    CHECK_WITHIN(ways.front().path.begins_s(), 5.0, 1e-12);
    CHECK_WITHIN(ways.front().path.position_m(5.0 + 0.5 * way_s), Vec3(10.0, 0.0, 10.0), 1e-9);

    SUBCASE("whatever their order in the take") {
        shoot.takes.front().flights = {"high", "low"};
        flown = flown_flights(shoot, shoot.takes.front());
        CHECK_WITHIN(flown[0].path.begins_s(), 5.0 + way_s, 1e-9);
    }
    SUBCASE("start_s waits on top of that, and from the opening for the first") {
        shoot.flights[0].start_s = 2.0;
        shoot.flights[1].start_s = 3.0;
        flown = flown_flights(shoot, shoot.takes.front());
        CHECK_WITHIN(flown[0].path.begins_s(), 2.0, 1e-12);
        CHECK_WITHIN(flown[1].path.begins_s(), 10.0 + way_s, 1e-9);
    }
    SUBCASE("one drone by its name does the same, two drones fly at once") {
        shoot.drones.resize(2);
        shoot.drones[0].name = "first";
        shoot.drones[1].name = "second";
        shoot.flights[1].after.reset();
        shoot.flights[0].drone = "first";
        shoot.flights[1].drone = "first";
        CHECK_WITHIN(flown_flights(shoot, shoot.takes.front())[1].path.begins_s(), 5.0 + way_s, 1e-9);
        shoot.flights[1].drone = "second";
        CHECK(flown_flights(shoot, shoot.takes.front())[1].path.begins_s() == 0.0);
    }
    SUBCASE("in a take without the flight before it begins at once") {
        shoot.takes.front().flights = {"high"};
        CHECK(flown_flights(shoot, shoot.takes.front())[0].path.begins_s() == 0.0);
    }
    SUBCASE("what is paced by the shutter fills what is left of it") {
        shoot.flights[1].lap_s.reset();
        shoot.flights[1].pace = Pace::shutter;
        CHECK_WITHIN(flown_flights(shoot, shoot.takes.front())[1].path.ends_s(), 60.0, 1e-9);
    }
}

TEST_CASE("a lamp on two flights of one drone is one lamp, dark on the way") {
    Shoot shoot = two_lines();
    std::vector<LitLamp> lit = lit_lamps(shoot, shoot.takes.front());
    REQUIRE(lit.size() == 1);
    REQUIRE(lit.front().lit.size() == 2);
    CHECK_WITHIN(lit.front().lit[0].to_s, 5.0, 1e-12);
    CHECK_WITHIN(lit.front().lit[1].from_s, 5.0 + way_s, 1e-9);
    CHECK_WITHIN(lit.front().position_m(2.5), Vec3(5.0, 0.0, 4.0), 1e-9);
    CHECK_WITHIN(lit.front().position_m(5.0 + way_s + 2.5), Vec3(5.0, 0.0, 16.0), 1e-9);
    CHECK_WITHIN(lit.front().flown_m(60.0), 20.0, 1e-9);

    shoot.flights[1].lit_between = true;
    lit = lit_lamps(shoot, shoot.takes.front());
    REQUIRE(lit.size() == 1);
    CHECK(lit.front().lit.size() == 1);
    CHECK_WITHIN(lit.front().lit_s(), 10.0 + way_s, 1e-9);
    CHECK_WITHIN(lit.front().position_m(5.0 + 0.5 * way_s), Vec3(10.0, 0.0, 10.0), 1e-9);
}
