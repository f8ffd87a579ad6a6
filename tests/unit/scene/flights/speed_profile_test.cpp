// Flights from rest to rest, against closed forms worked by hand.
#include "scene/flights/speed_profile.h"

#include <cmath>
#include <initializer_list>

#include "scene/basics/angle.h"
#include "scene/flights/flight_path.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Flight line_of(double length_m) {
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(1.0, 2.0, 5.0);
    flight.to_m = Vec3(1.0 + length_m, 2.0, 5.0);
    return flight;
}

Flight circle_of(double radius_m) {
    Flight flight;
    flight.radius_m = radius_m;
    flight.height_m = 9.0;
    return flight;
}

/// Way flown on a trapezoid of speeds: up at `a`, on at `v`, down at `a` again.
double trapezoid_m(double time_s, double v, double a, double length_m) {
    const double ramp_s = v / a;
    const double whole_s = length_m / v + ramp_s;
    if (time_s < ramp_s) return 0.5 * a * time_s * time_s;
    if (time_s < whole_s - ramp_s) return v * time_s - 0.5 * v * ramp_s;
    return length_m - 0.5 * a * (whole_s - time_s) * (whole_s - time_s);
}

}  // namespace

TEST_CASE("a line within limits is a trapezoid of speeds") {
    for (const double length_m : {0.5, 40.0, 20000.0}) {
        Flight flight = line_of(length_m);
        flight.limits = {10.0, 2.0};
        // Cruise v from T = L / v + v / a: the smaller root. Half as long again as the shortest.
        const double shortest_s =
            length_m < 50.0 ? 2.0 * std::sqrt(length_m / 2.0) : length_m / 10.0 + 5.0;
        CHECK_RELATIVE(shortest_duration_s(flight), shortest_s, 1e-9);
        const double whole_s = 1.5 * shortest_s;
        flight.lap_s = whole_s;
        const FlightPath path(flight, 30.0);
        const double v =
            (2.0 * whole_s - std::sqrt(4.0 * whole_s * whole_s - 8.0 * length_m)) / 2.0;
        CHECK(path.duration_s() == whole_s);
        CHECK_RELATIVE(path.top_speed_m_s(), v, 1e-9);
        CHECK_RELATIVE(path.top_acceleration_m_s2(), 2.0, 1e-9);
        for (int i = 0; i <= 1000; ++i) {
            const double time_s = whole_s * i / 1000.0;
            CHECK_WITHIN(path.position_m(time_s).x - 1.0, trapezoid_m(time_s, v, 2.0, length_m),
                         1e-9 * length_m);
        }
    }
}

TEST_CASE("a speed is kept to where the limits allow it, and else the limit") {
    Flight flight = line_of(100.0);
    flight.limits = {4.0, 1.0};
    flight.speed_m_s = 3.0;
    CHECK_RELATIVE(FlightPath(flight, 30.0).top_speed_m_s(), 3.0, 1e-12);
    CHECK_RELATIVE(FlightPath(flight, 30.0).duration_s(), 100.0 / 3.0 + 3.0, 1e-9);
    flight.speed_m_s = 9.0;
    CHECK_RELATIVE(FlightPath(flight, 30.0).top_speed_m_s(), 4.0, 1e-12);
    // Without a limit of speed, a line too short for the speed asked: v^2 = a L in its middle.
    flight = line_of(9.0);
    flight.limits = {std::nullopt, 1.0};
    flight.speed_m_s = 50.0;
    CHECK_RELATIVE(FlightPath(flight, 30.0).top_speed_m_s(), 3.0, 1e-9);
}

// Along and across together are a: d(v^2)/ds = 2 sqrt(a^2 - v^4 k^2), so v^2 = (a/k) sin(2ks) until
// the cruise; on a tight circle that is bound by a = v^2 k, and the ramp is pi / (4k) long.
TEST_CASE("a circle is turned no harder than the limit, and hardly less where it binds") {
    for (const double radius_m : {0.5, 5.0, 50.0}) {
        Flight flight = circle_of(radius_m);
        flight.limits = {std::nullopt, 2.0};
        flight.speed_m_s = 1000.0;
        const FlightPath path(flight, 30.0);
        const double most_m_s = std::sqrt(2.0 * radius_m);
        CHECK_RELATIVE(path.top_speed_m_s(), most_m_s, 1e-6);
        CHECK(path.top_acceleration_m_s2() <= 2.0 * (1.0 + 1e-6));
        CHECK(path.top_acceleration_m_s2() >= 2.0 * (1.0 - 1e-6));
        for (int i = 1; i < 2000; ++i) {
            const double time_s = path.duration_s() * i / 2000.0;
            const double flown_m = path.flown_m(time_s);
            const double to_end_m = std::min(flown_m, path.length_m() - flown_m);
            const double angle = std::min(2.0 * to_end_m / radius_m, 0.5 * pi);
            const double speed_m_s = std::sqrt(2.0 * radius_m * std::sin(angle));
            CHECK_WITHIN(glm::length(path.velocity_m_s(time_s)), speed_m_s, 2e-3 * most_m_s);
        }
    }
}

TEST_CASE("measured on the positions themselves, speed and acceleration stay within the limits") {
    for (const FlightShape shape : {FlightShape::circle, FlightShape::ring, FlightShape::helix})
        for (const double turns : {0.3, 1.0, 4.0}) {
            Flight flight = circle_of(3.0);
            flight.shape = shape;
            flight.turns = turns;
            flight.limits = {2.2, 1.7};
            flight.speed_m_s = 99.0;
            const FlightPath path(flight, 30.0);
            constexpr double step_s = 2e-3;
            for (double time_s = step_s; time_s < path.duration_s() - step_s; time_s += 0.0173) {
                const Vec3 before = path.position_m(time_s - step_s);
                const Vec3 here = path.position_m(time_s);
                const Vec3 after = path.position_m(time_s + step_s);
                CHECK(glm::distance(after, before) / (2.0 * step_s) <= 2.2 * (1.0 + 1e-6));
                const double acceleration_m_s2 =
                    glm::length(after - 2.0 * here + before) / (step_s * step_s);
                CHECK(acceleration_m_s2 <= 1.7 * (1.0 + 1e-3));
            }
        }
}

TEST_CASE("a flight within limits lasts as long as it was asked to, begins and ends at rest") {
    for (const FlightShape shape :
         {FlightShape::circle, FlightShape::line, FlightShape::ring, FlightShape::helix})
        for (const double slack : {1.0000001, 1.01, 1.5, 20.0}) {
            Flight flight = line_of(30.0);
            flight.shape = shape;
            flight.turns = 2.0;
            flight.height_m = 9.0;
            flight.limits = {8.0, 1.5};
            flight.pace = Pace::shutter;
            const double shutter_s = slack * shortest_duration_s(flight);
            const FlightPath path(flight, shutter_s);
            CHECK(path.duration_s() == shutter_s);
            CHECK(path.velocity_m_s(0.0) == Vec3(0.0));
            CHECK_WITHIN(glm::length(path.velocity_m_s(shutter_s)), 0.0, 1e-9);
            CHECK_WITHIN(glm::length(path.direction(0.0)), 1.0, 1e-9);
            CHECK_WITHIN(path.flown_m(shutter_s), path.length_m(), 1e-9);
            CHECK(path.top_speed_m_s() <= 8.0 * (1.0 + 1e-9));
            CHECK(path.top_acceleration_m_s2() <= 1.5 * (1.0 + 1e-6));
        }
}

TEST_CASE("a flight that is asked for more than its limits allow takes the shortest time") {
    Flight flight = line_of(40.0);
    flight.limits = {std::nullopt, 2.0};
    flight.lap_s = 3.0;
    CHECK_RELATIVE(FlightPath(flight, 30.0).duration_s(), 2.0 * std::sqrt(20.0), 1e-9);
}

TEST_CASE("turns flown count the way, not the time") {
    Flight flight = circle_of(4.0);
    flight.turns = 2.0;
    flight.lap_s = 20.0;
    CHECK_WITHIN(FlightPath(flight, 30.0).flown_turns(10.0), 0.5, 1e-9);
    flight.limits = {std::nullopt, 0.5};
    const FlightPath path(flight, 30.0);
    CHECK(path.flown_turns(10.0) < 0.47);
    CHECK_WITHIN(path.flown_turns(20.0), 1.0, 1e-6);  // it slows down as it sped up
    CHECK_WITHIN(path.flown_turns(99.0), 2.0, 1e-12);
}

// Two cells of different bends: in the bent one v^2 k holds the speed, before it the drone brakes.
TEST_CASE("the profile brakes before a bend and never after") {
    Course course{{0.0}, {}};
    for (int i = 1; i <= 2000; ++i) {
        course.edge_m.push_back(0.05 * i);
        course.bend.push_back(i > 1000 && i <= 1400 ? 0.5 : 0.0);  // 2 m radius from 50 to 70 m
    }
    const SpeedProfile profile = limited_speed(course, {12.0, 3.0}, 12.0);
    CHECK(profile.top_acceleration_m_s2 <= 3.0 * (1.0 + 1e-6));
    const double bend_m_s = std::sqrt(3.0 / 0.5);
    for (double time_s = 0.0; time_s <= profile.duration_s(); time_s += 0.01) {
        const double arc_m = profile.arc_at_m(time_s);
        const double speed_m_s = profile.speed_at_m_s(time_s);
        if (arc_m > 50.05 && arc_m < 69.95) CHECK_WITHIN(speed_m_s, bend_m_s, 1e-6);
        if (arc_m > 35.0 && arc_m < 49.9)  // from the far side: v^2 = v_bend^2 + 2 a d
            CHECK_WITHIN(speed_m_s,
                         std::min(12.0, std::sqrt(bend_m_s * bend_m_s + 6.0 * (50.0 - arc_m))),
                         0.02);
    }
}
