// When a drone is where, by elementary mechanics.
#include "scene/flights/flight_plan.h"

#include <array>
#include <cmath>
#include <limits>

#include "scene/basics/angle.h"
#include "scene/flights/flight_path.h"
#include "scene/flights/flight_shapes.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Flight drawn_flight(const std::vector<Vec3>& corners) {
    Flight flight;
    flight.shape = FlightShape::waypoints;
    for (const Vec3& corner : corners) {
        Waypoint vertex;
        vertex.at_m = corner;
        flight.path.push_back(vertex);
    }
    return flight;
}

/// From rest to rest: s/v + v/a if s >= v^2/a, else 2 sqrt(s/a).
double rest_to_rest_s(double s, double v, double a) {
    return s >= v * v / a ? s / v + v / a : 2.0 * std::sqrt(s / a);
}

}  // namespace

TEST_CASE("times of trapezoidal speed profiles") {
    struct Row {
        double length_m, speed_m_s, acceleration_m_s2, lasts_s, top_m_s;
    };
    // Elementary mechanics, computed.
    for (const Row& row :
         {Row{50.0, 5.0, 2.0, 12.5, 5.0}, Row{12.5, 5.0, 2.0, 5.0, 5.0},
          Row{31.41592654, 1.570796327, 0.5, 23.141593, 1.5707963}, Row{2.0, 5.0, 2.0, 2.0, 2.0}}) {
        Flight flight = drawn_flight({Vec3(0.0, 0.0, 9.0), Vec3(row.length_m, 0.0, 9.0)});
        flight.limits = {row.speed_m_s, row.acceleration_m_s2};
        flight.speed_m_s = 100.0;
        const FlightPath path(flight, 10.0);
        CHECK_RELATIVE(path.duration_s(), row.lasts_s, 1e-6);
        CHECK_RELATIVE(path.top_speed_m_s(), row.top_m_s, 1e-6);
        CHECK_RELATIVE(shortest_duration_s(flight), row.lasts_s, 1e-6);
    }
}

TEST_CASE("stop and go: each leg from rest to rest, and what it holds") {
    Flight flight = drawn_flight(
        {Vec3(0.0, 0.0, 9.0), Vec3(30.0, 0.0, 9.0), Vec3(30.0, 4.0, 9.0), Vec3(0.0, 4.0, 9.0)});
    flight.corner_radius_m = 0.0;
    flight.limits = {4.0, 1.5};
    flight.speed_m_s = 9.0;
    const double flown_s = 2.0 * rest_to_rest_s(30.0, 4.0, 1.5) + rest_to_rest_s(4.0, 4.0, 1.5);
    CHECK_RELATIVE(FlightPath(flight, 1.0).duration_s(), flown_s, 1e-12);
    flight.path[0].hold_s = 1.0;
    flight.path[1].hold_s = 2.0;
    flight.path[3].hold_s = 4.0;
    const FlightPath path(flight, 1.0);
    CHECK_RELATIVE(path.duration_s(), flown_s + 7.0, 1e-12);
    const double arrives_s = 1.0 + rest_to_rest_s(30.0, 4.0, 1.5);
    for (const double held_s : {0.0, 0.7, 2.0}) {
        CHECK_WITHIN(path.position_m(arrives_s + held_s), flight.path[1].at_m, 1e-9);
        CHECK_WITHIN(glm::length(path.velocity_m_s(arrives_s + held_s)), 0.0, 1e-9);
    }
    const std::vector<double> breaks{0.0,
                                     1.0,
                                     arrives_s,
                                     arrives_s + 2.0,
                                     flown_s + 3.0 - rest_to_rest_s(30.0, 4.0, 1.5),
                                     flown_s + 3.0,
                                     flown_s + 7.0};
    REQUIRE(path.breaks_s().size() == breaks.size());
    for (std::size_t i = 0; i < breaks.size(); ++i)
        CHECK_WITHIN(path.breaks_s()[i], breaks[i], 1e-9);
}

TEST_CASE("a lap of a stadium at the speed that its bends allow") {
    // Two straights of 40 m, two half circles of 5 m, begun in the middle of a straight.
    Flight flight =
        drawn_flight({Vec3(0.0, 0.0, 9.0), Vec3(25.0, 0.0, 9.0), Vec3(25.0, 10.0, 9.0),
                      Vec3(-25.0, 10.0, 9.0), Vec3(-25.0, 0.0, 9.0), Vec3(0.0, 0.0, 9.0)});
    flight.corner_radius_m = 5.0;
    const double length_m = 80.0 + 10.0 * pi;
    flight.speed_m_s = 2.0;
    CHECK_RELATIVE(FlightPath(flight, 1.0).duration_s(), 0.5 * length_m, 1e-12);
    flight.limits = {2.0, 1.0};
    CHECK_RELATIVE(FlightPath(flight, 1.0).duration_s(), 0.5 * length_m + 2.0, 1e-12);
    // Bends at v = sqrt(a r), between them v_top^2 = a r + a L on straights of L; from rest to the
    // bend along half a straight, v_top^2 = (a r + a L) / 2.
    flight.limits = {std::nullopt, 1.0};
    flight.speed_m_s = std::numeric_limits<double>::infinity();
    const double bend_m_s = std::sqrt(5.0);
    const double half_top_m_s = std::sqrt(0.5 * (5.0 + 2.0 * 20.0));
    const double lasts_s = 10.0 * pi / bend_m_s + 2.0 * (std::sqrt(5.0 + 40.0) - bend_m_s) +
                           2.0 * (2.0 * half_top_m_s - bend_m_s);
    CHECK_RELATIVE(FlightPath(flight, 1.0).duration_s(), lasts_s, 1e-9);
}

TEST_CASE("speeds of legs hold on their legs, the flight's or two metres a second on others") {
    Flight flight = drawn_flight({Vec3(0.0), Vec3(20.0, 0.0, 0.0), Vec3(50.0, 0.0, 0.0)});
    CHECK_RELATIVE(FlightPath(flight, 1.0).duration_s(), 50.0 / drawn_speed_m_s, 1e-12);
    flight.path[0].speed_m_s = 4.0;
    CHECK_RELATIVE(FlightPath(flight, 1.0).duration_s(), 5.0 + 15.0, 1e-12);
    flight.speed_m_s = 3.0;
    CHECK_RELATIVE(FlightPath(flight, 1.0).duration_s(), 5.0 + 10.0, 1e-12);
    flight.limits = {std::nullopt, 2.0};
    // Up to 4 over 4 m in 2 s, to 3 over 1.75 m in 0.5 s before the second leg, down over 2.25 m.
    CHECK_RELATIVE(FlightPath(flight, 1.0).duration_s(),
                   2.0 + (20.0 - 4.0 - 1.75) / 4.0 + 0.5 + 27.75 / 3.0 + 1.5, 1e-9);
}

TEST_CASE("climb, descent and turning hold the speed down where they bind") {
    Flight flight = drawn_flight({Vec3(0.0), Vec3(40.0, 0.0, 30.0)});
    flight.limits = {
        .speed_m_s = 9.0, .acceleration_m_s2 = 2.0, .climb_m_s = 1.5, .descent_m_s = 1.0};
    flight.speed_m_s = 99.0;
    CHECK_RELATIVE(FlightPath(flight, 1.0).top_speed_m_s(), 2.5, 1e-9);
    CHECK(binding_of(flight).which == SpeedBound::climb);
    CHECK(binding_of(flight).value == 1.5);
    std::swap(flight.path[0], flight.path[1]);
    CHECK_RELATIVE(FlightPath(flight, 1.0).top_speed_m_s(), 1.0 / 0.6, 1e-9);
    CHECK(binding_of(flight).which == SpeedBound::descent);
    flight = Flight{};
    flight.limits = {.acceleration_m_s2 = 2.0, .turning_m_s2 = 0.2};
    flight.speed_m_s = 99.0;
    CHECK_RELATIVE(FlightPath(flight, 1.0).top_speed_m_s(), 1.0, 1e-9);  // v^2 / 5 m
    CHECK(binding_of(flight).which == SpeedBound::turning);
    flight.limits = {.speed_m_s = 0.8, .acceleration_m_s2 = 2.0};
    CHECK(binding_of(flight).which == SpeedBound::speed);
    flight.limits = {std::nullopt, 0.1};
    CHECK(binding_of(flight).which == SpeedBound::acceleration);
    CHECK(binding_of(Flight{}).which == SpeedBound::none);
}

TEST_CASE("a nose along the course turns no faster than it can") {
    Flight flight;  // a circle of 5 m: v / r
    flight.limits = {.acceleration_m_s2 = 2.0, .yaw_deg_s = 10.0};
    flight.speed_m_s = 99.0;
    CHECK(FlightPath(flight, 1.0).top_speed_m_s() > 3.0);
    for (const Nose nose : {Nose::ahead, Nose::centre}) {
        flight.nose = nose;
        CHECK_RELATIVE(FlightPath(flight, 1.0).top_speed_m_s(), 5.0 * radians(10.0), 1e-6);
        CHECK(binding_of(flight).which == SpeedBound::yaw);
    }
    // In a sharp corner it stands for 90 degrees at 30 degrees a second.
    flight = drawn_flight({Vec3(0.0), Vec3(0.0, 10.0, 0.0), Vec3(10.0, 10.0, 0.0)});
    flight.corner_radius_m = 0.0;
    flight.limits = {.speed_m_s = 2.0, .acceleration_m_s2 = 1.0, .yaw_deg_s = 30.0};
    flight.speed_m_s = 2.0;
    const double leg_s = rest_to_rest_s(10.0, 2.0, 1.0);
    CHECK_RELATIVE(FlightPath(flight, 1.0).duration_s(), 2.0 * leg_s, 1e-12);
    flight.nose = Nose::ahead;
    const FlightPath path(flight, 1.0);
    CHECK_RELATIVE(path.duration_s(), 2.0 * leg_s + 3.0, 1e-12);
    CHECK_WITHIN(degrees(path.nose_rad(leg_s - 0.1)), 0.0, 1e-9);
    CHECK_WITHIN(degrees(path.nose_rad(leg_s + 1.0)), 30.0, 1e-6);
    CHECK_WITHIN(degrees(path.nose_rad(leg_s + 3.1)), 90.0, 1e-9);
}

TEST_CASE("an upright ring's nose turns half round where it climbs straight, at rest") {
    Flight flight;
    flight.shape = FlightShape::ring;
    flight.height_m = 12.0;
    flight.nose = Nose::ahead;
    flight.limits = {.speed_m_s = 2.0, .acceleration_m_s2 = 1.0, .yaw_deg_s = 45.0};
    flight.speed_m_s = 2.0;
    const FlightPath path(flight, 1.0);
    REQUIRE(path.breaks_s().size() == 4);
    CHECK_WITHIN(path.breaks_s()[1] - path.breaks_s()[0], 4.0, 1e-9);
    CHECK_WITHIN(path.position_m(path.breaks_s()[0]).z, 12.0, 1e-9);
}

TEST_CASE("a wanted time leaves the holds as they are") {
    for (const bool limited : {false, true}) {
        Flight flight = drawn_flight({Vec3(0.0), Vec3(20.0, 0.0, 0.0), Vec3(20.0, 20.0, 0.0)});
        flight.path[1].hold_s = 5.0;
        if (limited) flight.limits = {8.0, 2.0};
        flight.lap_s = 30.0;
        const FlightPath path(flight, 1.0);
        CHECK(path.duration_s() == 30.0);
        CHECK_WITHIN(path.time_at_s(20.0), 12.5, 1e-9);
        CHECK_WITHIN(path.flown_m(17.5), 20.0, 1e-9);
        CHECK(path.flown_m(17.6) > 20.0);
    }
}

TEST_CASE("what limits leave no time for takes the shortest, also of legs and holds alone") {
    Flight flight = drawn_flight({Vec3(0.0), Vec3(20.0, 0.0, 0.0), Vec3(20.0, 20.0, 0.0)});
    flight.corner_radius_m = 0.0;
    CHECK(shortest_duration_s(flight) == 0.0);
    flight.path[0].speed_m_s = 4.0;
    flight.path[1].hold_s = 3.0;
    CHECK_RELATIVE(shortest_duration_s(flight), 5.0 + 3.0, 1e-12);
    flight.lap_s = 12.0;
    CHECK(FlightPath(flight, 1.0).duration_s() == 12.0);
    CHECK_RELATIVE(FlightPath(flight, 1.0).time_at_s(20.0), 5.0, 0.1);
}

TEST_CASE("hovering lasts its lap, else as the shutter") {
    Flight flight;
    flight.shape = FlightShape::hover;
    flight.centre_m = {1.0, 2.0};
    flight.nose_deg = 370.0;
    for (const bool limited : {false, true}) {
        if (limited) flight.limits = {5.0, 2.0};
        flight.lap_s.reset();
        CHECK(FlightPath(flight, 13.0).duration_s() == 13.0);
        flight.lap_s = 4.0;
        const FlightPath path(flight, 13.0);
        CHECK(path.duration_s() == 4.0);
        CHECK(path.length_m() == 0.0);
        CHECK(path.position_m(2.0) == Vec3(1.0, 2.0, 8.0));
        CHECK(path.velocity_m_s(2.0) == Vec3(0.0));
        CHECK(path.acceleration_m_s2(2.0) == Vec3(0.0));
        CHECK_WITHIN(degrees(path.nose_rad(1.0)), 10.0, 1e-9);
        CHECK(path.flown_turns(2.0) == 0.0);
    }
}

TEST_CASE("a run-up gains the shape's speed before it and loses it after") {
    Flight flight = drawn_flight({Vec3(0.0, 0.0, 9.0), Vec3(20.0, 0.0, 9.0)});
    flight.limits = {6.0, 2.0};
    flight.speed_m_s = 4.0;
    flight.run_up = true;
    const FlightPath path(flight, 1.0);
    CHECK_WITHIN(path.shape_from_m(), 4.0, 1e-9);  // v^2 / 2a
    CHECK_WITHIN(path.shape_to_m(), 24.0, 1e-9);
    CHECK_WITHIN(path.length_m(), 20.0, 1e-12);
    CHECK_WITHIN(path.duration_s(), 2.0 + 5.0 + 2.0, 1e-9);
    CHECK_WITHIN(path.lap_s(), 5.0, 1e-9);
    CHECK_WITHIN(path.speed_m_s(), 4.0, 1e-9);
    CHECK_WITHIN(path.position_m(0.0), Vec3(-4.0, 0.0, 9.0), 1e-9);
    CHECK_WITHIN(path.position_m(2.0), Vec3(0.0, 0.0, 9.0), 1e-9);
    CHECK_WITHIN(path.velocity_m_s(2.0), Vec3(4.0, 0.0, 0.0), 1e-9);
    CHECK_WITHIN(path.position_m(99.0), Vec3(24.0, 0.0, 9.0), 1e-9);
    CHECK_WITHIN(path.flown_turns(4.5), 0.5, 1e-9);
    REQUIRE(path.stretches().size() == 3);
    CHECK_FALSE(path.stretches()[0].lit);
    CHECK(path.stretches()[1].lit);
    CHECK_WITHIN(path.stretches()[1].from_m, 4.0, 1e-9);
    CHECK_WITHIN(path.stretches()[2].to_m, 28.0, 1e-9);
}

TEST_CASE("a circle's run-up goes round, and its lap is flown at one speed") {
    Flight flight;
    flight.limits = {6.0, 2.0};
    flight.lap_s = 20.0;
    flight.run_up = true;
    const FlightPath path(flight, 1.0);
    const double speed_m_s = 2.0 * pi * 5.0 / 20.0;
    CHECK_WITHIN(path.lap_s(), 20.0, 1e-9);
    CHECK(path.shape_from_m() > speed_m_s * speed_m_s / 4.0);
    const double from_s = path.time_at_s(path.shape_from_m());
    for (const double part : {0.0, 0.3, 1.0})
        CHECK_WITHIN(glm::length(path.velocity_m_s(from_s + 20.0 * part)), speed_m_s, 1e-9);
    for (double time_s = 0.0; time_s < path.duration_s(); time_s += 0.1)
        CHECK_WITHIN(glm::distance(path.position_m(time_s), path.centre_m()), 5.0, 1e-12);
    // As long as the shutter: all of it.
    flight.lap_s.reset();
    flight.pace = Pace::shutter;
    CHECK(FlightPath(flight, 25.0).duration_s() == 25.0);
}
