#include "scene/flights/flight_path.h"

#include <array>
#include <cmath>
#include <initializer_list>

#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Flight flight_of(FlightShape shape) {
    Flight flight;
    flight.shape = shape;
    flight.centre_m = {3.0, -2.0};
    flight.height_m = 9.0;
    flight.radius_m = 5.0;
    flight.lap_s = 16.0;
    flight.from_m = Vec3(-6.0, 1.0, 4.0);
    flight.to_m = Vec3(6.0, 10.0, 8.0);
    return flight;
}

constexpr std::array all_shapes{FlightShape::circle, FlightShape::line, FlightShape::ring,
                                FlightShape::helix};

}  // namespace

TEST_CASE("a circle starts at its bearing and turns clockwise seen from above") {
    Flight flight = flight_of(FlightShape::circle);
    flight.start_bearing_deg = 90.0;
    const FlightPath path(flight, 15.0);
    CHECK_WITHIN(path.position_m(0.0), Vec3(8.0, -2.0, 9.0), 1e-9);
    CHECK_WITHIN(path.position_m(4.0), Vec3(3.0, -7.0, 9.0), 1e-9);
    CHECK_WITHIN(degrees(path.heading_rad(0.0)), 180.0, 1e-7);
    flight.clockwise = false;
    CHECK_WITHIN(FlightPath(flight, 15.0).position_m(4.0), Vec3(3.0, 3.0, 9.0), 1e-9);
    CHECK_WITHIN(path.centre_m(), Vec3(3.0, -2.0, 9.0), 1e-12);
}

TEST_CASE("a ring's clock runs as seen by someone before its face") {
    Flight flight = flight_of(FlightShape::ring);
    flight.facing_deg = 180.0;  // seen from the south, east is to the right
    flight.start_clock_deg = 0.0;
    const FlightPath path(flight, 15.0);
    CHECK_WITHIN(path.position_m(0.0), Vec3(3.0, -2.0, 14.0), 1e-9);
    CHECK_WITHIN(path.position_m(4.0), Vec3(8.0, -2.0, 9.0), 1e-9);
    CHECK_WITHIN(path.position_m(8.0), Vec3(3.0, -2.0, 4.0), 1e-9);
    flight.clockwise = false;
    CHECK_WITHIN(FlightPath(flight, 15.0).position_m(4.0), Vec3(-2.0, -2.0, 9.0), 1e-9);
    flight.clockwise = true;
    flight.facing_deg = 90.0;  // seen from the east, north is to the right
    CHECK_WITHIN(FlightPath(flight, 15.0).position_m(4.0), Vec3(3.0, 3.0, 9.0), 1e-9);
}

TEST_CASE("a ring keeps to its upright plane") {
    Flight flight = flight_of(FlightShape::ring);
    flight.facing_deg = 137.0;
    const FlightPath path(flight, 15.0);
    const Vec3 face = direction_of(radians(137.0));
    for (double time_s = 0.0; time_s <= 16.0; time_s += 0.37) {
        const Vec3 from_centre = path.position_m(time_s) - path.centre_m();
        CHECK_WITHIN(glm::dot(from_centre, face), 0.0, 1e-9);
        CHECK_WITHIN(glm::length(from_centre), 5.0, 1e-9);
    }
}

TEST_CASE("a tilted ring's top leans away from its face, its sides stay where they are") {
    Flight flight = flight_of(FlightShape::ring);
    flight.facing_deg = 180.0;
    flight.start_clock_deg = 0.0;
    flight.tilt_deg = 30.0;  // 5 m times sin and cos of it: 2.5 m back, 4.330127 m up
    const FlightPath path(flight, 15.0);
    CHECK_WITHIN(path.position_m(0.0), Vec3(3.0, 0.5, 13.330127), 1e-6);
    CHECK_WITHIN(path.position_m(4.0), Vec3(8.0, -2.0, 9.0), 1e-9);
    CHECK_WITHIN(path.position_m(8.0), Vec3(3.0, -4.5, 4.669873), 1e-6);
    flight.tilt_deg = -30.0;
    CHECK_WITHIN(FlightPath(flight, 15.0).position_m(0.0), Vec3(3.0, -4.5, 13.330127), 1e-6);
    flight.tilt_deg = 0.0;
    CHECK_WITHIN(FlightPath(flight, 15.0).position_m(0.0), Vec3(3.0, -2.0, 14.0), 1e-9);
}

TEST_CASE("a helix climbs evenly over the whole flight, turns in part or not") {
    Flight flight = flight_of(FlightShape::helix);
    flight.rise_m = 6.0;
    flight.turns = 1.5;
    flight.start_bearing_deg = 0.0;
    const FlightPath path(flight, 15.0);
    CHECK_WITHIN(path.duration_s(), 24.0, 1e-12);
    CHECK_WITHIN(path.position_m(0.0), Vec3(3.0, 3.0, 9.0), 1e-9);
    CHECK_WITHIN(path.position_m(8.0), Vec3(3.0, -7.0, 11.0), 1e-9);
    CHECK_WITHIN(path.position_m(24.0), Vec3(3.0, -7.0, 15.0), 1e-9);
    CHECK_WITHIN(path.centre_m(), Vec3(3.0, -2.0, 12.0), 1e-12);
}

TEST_CASE("a line goes straight from its start to its end") {
    const FlightPath path(flight_of(FlightShape::line), 15.0);
    CHECK_WITHIN(path.position_m(0.0), Vec3(-6.0, 1.0, 4.0), 1e-12);
    CHECK_WITHIN(path.position_m(4.0), Vec3(-3.0, 3.25, 5.0), 1e-9);
    CHECK_WITHIN(path.position_m(16.0), Vec3(6.0, 10.0, 8.0), 1e-9);
    CHECK_RELATIVE(path.length_m(), std::sqrt(144.0 + 81.0 + 16.0), 1e-12);
    CHECK(path.top_acceleration_m_s2() == 0.0);
    CHECK_WITHIN(path.centre_m(), Vec3(0.0, 5.5, 6.0), 1e-12);
}

TEST_CASE("whole turns come back to their start") {
    for (const FlightShape shape : {FlightShape::circle, FlightShape::ring})
        for (const double turns : {1.0, 3.0}) {
            Flight flight = flight_of(shape);
            flight.turns = turns;
            const FlightPath path(flight, 15.0);
            CHECK(closes(shape));
            CHECK_WITHIN(path.position_m(path.duration_s()), path.position_m(0.0), 1e-9);
            CHECK_WITHIN(path.position_m(path.lap_s()), path.position_m(0.0), 1e-9);
        }
    CHECK_FALSE(closes(FlightShape::helix));
    CHECK_FALSE(closes(FlightShape::line));
}

TEST_CASE("every path is continuous and flown at its one speed") {
    for (const FlightShape shape : all_shapes) {
        Flight flight = flight_of(shape);
        flight.turns = 2.25;
        const FlightPath path(flight, 15.0);
        constexpr int steps = 5000;
        const double step_s = path.duration_s() / steps;
        double flown_m = 0.0;
        for (int i = 0; i < steps; ++i) {
            const Vec3 from = path.position_m(step_s * i);
            const Vec3 to = path.position_m(step_s * (i + 1));
            const double chord_m = glm::distance(from, to);
            CHECK_RELATIVE(chord_m, path.speed_m_s() * step_s, 1e-5);
            flown_m += chord_m;
            const Vec3 velocity = path.velocity_m_s(step_s * (i + 0.5));
            CHECK_RELATIVE(glm::length(velocity), path.speed_m_s(), 1e-9);
            CHECK_WITHIN(velocity, (to - from) / step_s, 1e-5 * path.speed_m_s());
        }
        CHECK_RELATIVE(flown_m, path.length_m(), 1e-6);
    }
}

TEST_CASE("arc length is inverted to a billionth of a circle") {
    Flight flight = flight_of(FlightShape::circle);
    flight.start_bearing_deg = 0.0;
    flight.turns = 7.0;
    const FlightPath path(flight, 15.0);
    CHECK_RELATIVE(path.length_m(), 7.0 * 2.0 * pi * 5.0, 1e-9);
    for (double time_s = 0.013; time_s < path.duration_s(); time_s += 0.771) {
        const Vec3 exact = path.centre_m() + 5.0 * direction_of(2.0 * pi * time_s / path.lap_s());
        CHECK_WITHIN(path.position_m(time_s), exact, 5e-9);
    }
}

TEST_CASE("lap time and speed give the same flight") {
    for (const FlightShape shape : all_shapes) {
        Flight by_lap = flight_of(shape);
        by_lap.turns = 2.0;
        const FlightPath lap(by_lap, 15.0);
        Flight by_speed = by_lap;
        by_speed.lap_s.reset();
        by_speed.speed_m_s = lap.speed_m_s();
        const FlightPath speed(by_speed, 15.0);
        CHECK_RELATIVE(speed.lap_s(), 16.0, 1e-12);
        CHECK_RELATIVE(speed.duration_s(), shape == FlightShape::line ? 16.0 : 32.0, 1e-12);
        CHECK_WITHIN(speed.position_m(5.3), lap.position_m(5.3), 1e-9);
    }
}

TEST_CASE("a flight paced by the shutter lasts exactly that long, all its turns") {
    for (const FlightShape shape : all_shapes) {
        Flight flight = flight_of(shape);
        flight.pace = Pace::shutter;
        flight.turns = 3.0;
        CHECK_WITHIN(FlightPath(flight, 25.0).duration_s(), 25.0, 1e-12);
    }
}

TEST_CASE("a flight with no pace takes 25 s a lap") {
    Flight flight = flight_of(FlightShape::circle);
    flight.lap_s.reset();
    flight.turns = 2.0;
    CHECK_WITHIN(FlightPath(flight, 60.0).duration_s(), 50.0, 1e-12);
}

TEST_CASE("before and after the flight the drone waits at its ends") {
    const FlightPath path(flight_of(FlightShape::helix), 15.0);
    CHECK(path.position_m(-3.0) == path.position_m(0.0));
    CHECK(path.position_m(99.0) == path.position_m(path.duration_s()));
}

TEST_CASE("heading is zero where a ring climbs or falls straight, and follows it elsewhere") {
    for (const double facing_deg : {10.0, 123.0, 251.0}) {
        Flight flight = flight_of(FlightShape::ring);
        flight.facing_deg = facing_deg;
        flight.start_clock_deg = 90.0;
        const FlightPath path(flight, 15.0);
        CHECK(path.heading_rad(0.0) == 0.0);
        CHECK(path.heading_rad(8.0) == 0.0);
        // Lowest, it flies to the left of the viewer, who looks against the facing.
        const double left_deg = facing_deg + 90.0;
        CHECK_WITHIN(std::remainder(degrees(path.heading_rad(4.0)) - left_deg, 360.0), 0.0, 1e-7);
    }
}

TEST_CASE("a line straight up has heading zero; one of no length stays finite") {
    Flight flight = flight_of(FlightShape::line);
    flight.from_m = Vec3(2.0, 1.0, 3.0);
    flight.to_m = Vec3(2.0, 1.0, 30.0);
    CHECK(FlightPath(flight, 15.0).heading_rad(2.0) == 0.0);
    flight.to_m = flight.from_m;
    const FlightPath still(flight, 15.0);
    CHECK(still.position_m(4.0) == *flight.from_m);
    CHECK(still.velocity_m_s(4.0) == Vec3(0.0));
    CHECK(still.top_acceleration_m_s2() == 0.0);
}
