// Flights at random in greater number, and the longest that a file of waypoints may hold.
#include "tests/flight_limits.h"

#include <ctime>

using namespace lampflight;

namespace {

/// A walk of many corners, some stated, some cut, some of a curve, some stops.
Flight long_walk(int corners) {
    Flight flight;
    flight.shape = FlightShape::waypoints;
    flight.limits = {.speed_m_s = 8.0, .acceleration_m_s2 = 3.0, .climb_m_s = 2.0};
    flight.pace = Pace::shutter;
    Vec3 at_m(0.0, 0.0, 20.0);
    double bearing_rad = 0.0;
    for (int i = 0; i < corners; ++i) {
        Waypoint corner;
        corner.at_m = at_m;
        if (i % 5 == 0) corner.corner_radius_m = 1.0;
        corner.through = i % 5 == 1;
        if (i % 100 == 0) corner.hold_s = 1.0;
        flight.path.push_back(corner);
        bearing_rad += 2.0 * std::sin(0.7 * i * i);
        at_m += (2.0 + std::cos(1.3 * i)) * direction_of(bearing_rad, 0.3 * std::sin(0.9 * i));
    }
    return flight;
}

double planning_s(const Flight& flight) {
    const double shutter_s = 1.3 * shortest_duration_s(flight);
    double best_s = 1e9;
    for (int i = 0; i < 3; ++i) {
        const std::clock_t before = std::clock();  // of the processor: others may be at work
        const FlightPath path(flight, shutter_s);
        const double took_s = static_cast<double>(std::clock() - before) / CLOCKS_PER_SEC;
        CHECK(std::abs(path.duration_s() - shutter_s) <= 1e-9 * shutter_s);
        best_s = std::min(best_s, took_s);
    }
    return best_s;
}

}  // namespace

TEST_CASE("planning takes time in proportion to the corners") {
    const double few_s = planning_s(long_walk(10000));
    const double many_s = planning_s(long_walk(100000));
    MESSAGE("10,000 corners ", few_s, " s, 100,000 corners ", many_s, " s");
    CHECK(many_s <= 12.0 * few_s);
}

TEST_CASE("ten thousand flights at random stay within their limits") {
    testing::check_random_flights(7u, 10000, 300);
}
