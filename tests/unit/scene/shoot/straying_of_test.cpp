// Which flights stray, and which of them alike.
#include "scene/shoot/straying_of.h"

#include <algorithm>
#include <cmath>

#include "scene/flights/attitude.h"
#include "scene/shoot/lit_lamp.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// Three lines one after another, by one drone, in two takes.
Shoot straying_lines() {
    Shoot shoot;
    shoot.camera.shutter_s = 60.0;
    Lamp lamp;
    lamp.name = "warm";
    shoot.lamps = {lamp};
    for (const char* name : {"first", "second", "third"}) {
        Flight flight;
        flight.name = name;
        flight.shape = FlightShape::line;
        flight.from_m = Vec3(0.0, 0.0, 4.0 + 4.0 * static_cast<double>(shoot.flights.size()));
        flight.to_m = *flight.from_m + Vec3(10.0, 0.0, 0.0);
        flight.lap_s = 5.0;
        flight.carries = {"warm"};
        flight.lit_between = true;
        if (!shoot.flights.empty()) flight.after = shoot.flights.back().name;
        shoot.flights.push_back(flight);
    }
    shoot.flights.front().wander_m = 0.5;
    for (const char* name : {"one", "two"}) {
        Take take;
        take.name = name;
        take.flights = {"first", "second", "third"};
        shoot.takes.push_back(take);
    }
    return shoot;
}

Vec3 strays_m(const Shoot& shoot, std::size_t take, std::size_t flight, double time_s) {
    const auto strays = straying_of(shoot, shoot.takes.at(take), shoot.flights.at(flight));
    return strays ? strays->offset_m(time_s) : Vec3(0.0);
}

}  // namespace

TEST_CASE("a drone's flights one after another stray as one, and as the first says") {
    Shoot shoot = straying_lines();
    CHECK(strays_m(shoot, 0, 0, 9.0) != Vec3(0.0));
    CHECK(strays_m(shoot, 0, 1, 9.0) == strays_m(shoot, 0, 0, 9.0));
    CHECK(strays_m(shoot, 0, 2, 9.0) == strays_m(shoot, 0, 0, 9.0));
    CHECK_WITHIN(strays_within_m(shoot, shoot.flights.back()), 1.5, 1e-12);
    // So a lamp that burns all the while goes without a jump: at most some metres a second.
    const LitLamp lit = lit_lamps(shoot, shoot.takes.front()).front();
    REQUIRE(lit.rides.size() == 5);
    double leap_m = 0.0;
    for (double time_s = -1.0; time_s < 35.0; time_s += 1e-2)
        leap_m =
            std::max(leap_m, glm::distance(lit.position_m(time_s), lit.position_m(time_s + 1e-2)));
    CHECK(leap_m < 0.1);
    // Before and after its flights it stands in the air, and strays.
    CHECK(glm::distance(lit.position_m(-1.0), lit.position_m(-9.0)) > 0.01);
    CHECK(glm::distance(lit.position_m(50.0), lit.position_m(58.0)) > 0.01);
    CHECK_WITHIN(lit.position_m(50.0), Vec3(10.0, 0.0, 12.0) + strays_m(shoot, 0, 2, 50.0), 1e-12);
    // One that says otherwise.
    shoot.flights[1].wander_m = 0.25;
    CHECK_WITHIN(strays_m(shoot, 0, 1, 9.0), 0.5 * strays_m(shoot, 0, 0, 9.0), 1e-12);
    CHECK_WITHIN(strays_m(shoot, 0, 2, 9.0), 0.5 * strays_m(shoot, 0, 0, 9.0), 1e-12);
}

TEST_CASE("another take, another go, another seed and another drone stray otherwise") {
    Shoot shoot = straying_lines();
    const Vec3 plain_m = strays_m(shoot, 0, 0, 9.0);
    CHECK(strays_m(straying_lines(), 0, 0, 9.0) == plain_m);
    CHECK(strays_m(shoot, 1, 0, 9.0) != plain_m);
    shoot.go = 2;
    CHECK(strays_m(shoot, 0, 0, 9.0) != plain_m);
    shoot.go = 1;
    shoot.flights.front().wander_seed = 2;
    CHECK(strays_m(shoot, 0, 0, 9.0) != plain_m);
    CHECK(strays_m(shoot, 0, 2, 9.0) == strays_m(shoot, 0, 0, 9.0));
    shoot = straying_lines();
    shoot.flights[1].after.reset();
    shoot.flights[1].wander_m = 0.5;
    CHECK(strays_m(shoot, 0, 0, 9.0) == plain_m);
    CHECK(strays_m(shoot, 0, 1, 9.0) != plain_m);
}

TEST_CASE("a flight without wander or gusts does not stray; gusts stray by themselves") {
    Shoot shoot = straying_lines();
    shoot.flights.front().wander_m.reset();
    CHECK(straying_of(shoot, shoot.takes.front(), shoot.flights.front()) == nullptr);
    CHECK(strays_within_m(shoot, shoot.flights.front()) == 0.0);
    shoot.flights.front().wander_m = 0.0;
    shoot.air.wind_m_s = 8.0;
    shoot.air.gust_m_s = 8.0;
    CHECK(straying_of(shoot, shoot.takes.front(), shoot.flights.front()) == nullptr);
    shoot.air.gust_m_s = 14.0;
    const auto strays = straying_of(shoot, shoot.takes.front(), shoot.flights.front());
    REQUIRE(strays != nullptr);
    CHECK(strays->gust_m_s(3.0) != Vec3(0.0));
    CHECK(strays_within_m(shoot, shoot.flights.front()) > 0.1);
    // A heavier drone is pushed less.
    Drone heavy;
    heavy.mass_kg = 20.0;
    const double light_m = strays_within_m(shoot, shoot.flights.front());
    shoot.drones = {heavy};
    CHECK(strays_within_m(shoot, shoot.flights.front()) < 0.1 * light_m);
}
