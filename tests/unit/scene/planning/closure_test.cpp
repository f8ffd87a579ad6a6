#include "scene/planning/closure.h"

#include <cmath>

#include "scene/basics/angle.h"
#include "scene/planning/dial.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Flight paced(FlightShape shape = FlightShape::circle) {
    Flight flight;
    flight.shape = shape;
    flight.pace = Pace::shutter;
    return flight;
}

Flight lapped(double radius_m, double lap_s) {
    Flight flight;
    flight.radius_m = radius_m;
    flight.lap_s = lap_s;
    return flight;
}

Closure slow(const Flight& flight, double share, double shutter_s = 25.0) {
    const auto closure = closure_of(flight, FlightPath(flight, shutter_s), shutter_s, share);
    REQUIRE(closure.has_value());
    return *closure;
}

DialFigures dialled(const Flight& flight, double shutter_s) {
    const auto dial = dial_figures(flight, FlightPath(flight, shutter_s), shutter_s);
    REQUIRE(dial.has_value());
    return *dial;
}

}  // namespace

TEST_CASE("a lap paced by the shutter stays open by the share it is too slow") {
    for (const FlightShape shape : {FlightShape::circle, FlightShape::ring}) {
        Flight flight = paced(shape);
        flight.height_m = 12.0;
        CHECK_WITHIN(slow(flight, 1.0).m, 0.0, 1e-9);
        CHECK_RELATIVE(slow(flight, 0.97).deg.value(), -0.03 * 360.0, 1e-9);
        CHECK_RELATIVE(slow(flight, 0.97).m, 0.03 * 2.0 * pi * 5.0, 1e-9);
        CHECK_RELATIVE(slow(flight, 0.95).m, 0.05 * 2.0 * pi * 5.0, 1e-9);
    }
    // Too fast, it ends sooner.
    CHECK_WITHIN(slow(paced(), 1.05).m, 0.0, 1e-9);
}

TEST_CASE("time to spare closes a slow lap; an overlap shrinks before a gap opens") {
    CHECK_WITHIN(slow(lapped(5.0, 20.0), 0.95).m, 0.0, 1e-9);
    Flight over = paced();
    over.turns = 1.1;
    CHECK_RELATIVE(slow(over, 1.0).deg.value(), 36.0, 1e-9);
    CHECK_RELATIVE(slow(over, 0.95).deg.value(), 360.0 * (1.1 * 0.95 - 1.0), 1e-9);
    Flight arc = paced();
    arc.turns = 0.5;
    CHECK_FALSE(closure_of(arc, FlightPath(arc, 25.0), 25.0).has_value());
}

TEST_CASE("a flight from rest to rest loses less, for it ends slowly") {
    Flight flight = paced();
    flight.limits.acceleration_m_s2 = 0.5;
    const Closure gap = slow(flight, 0.97);
    CHECK(gap.m > 0.0);
    CHECK(gap.m < 0.03 * 2.0 * pi * 5.0);
}

TEST_CASE("only what comes back to its start closes") {
    Flight line = paced(FlightShape::line);
    line.from_m = Vec3(0, 0, 5);
    line.to_m = Vec3(10, 0, 5);
    CHECK_FALSE(closure_of(line, FlightPath(line, 25.0), 25.0).has_value());
    // A helix without a climb comes back, and has a gap in metres alone.
    Flight flat = paced(FlightShape::helix);
    flat.rise_m = 0.04;
    CHECK_WITHIN(slow(flat, 1.0).m, 0.0, 1e-9);
    CHECK_RELATIVE(slow(flat, 0.97).m, 0.03 * 2.0 * pi * 5.0, 1e-4);
    CHECK_FALSE(slow(flat, 0.97).deg.has_value());
    flat.rise_m = 0.06;
    CHECK_FALSE(closure_of(flat, FlightPath(flat, 25.0), 25.0).has_value());
}

// Orbits by elementary mechanics, computed: 5 m in 20 s are 1.5707963 m/s, 5 m in 25 s 1.2566371,
// 10 m in 30 s 2.0943951. A dial makes 1.6, 1.3 and 2.1 of them.
TEST_CASE("the dial's lap, overlap and exposure") {
    struct Row {
        double radius_m, lap_s, speed_m_s, dial_m_s;
    };
    for (const Row& row : {Row{5.0, 20.0, 1.5707963, 1.6}, Row{5.0, 25.0, 1.2566371, 1.3},
                           Row{10.0, 30.0, 2.0943951, 2.1}}) {
        const DialFigures dial = dialled(lapped(row.radius_m, row.lap_s), row.lap_s);
        const double over = row.dial_m_s / row.speed_m_s;
        CHECK(dial.radius_m == row.radius_m);
        CHECK(dial.radius_off_m == 0.0);
        CHECK_WITHIN(dial.speed_m_s, row.dial_m_s, 1e-9);
        CHECK_RELATIVE(dial.lap_s, row.lap_s / over, 1e-6);
        CHECK_WITHIN(dial.trail_stops, -std::log2(over), 1e-6);
        CHECK_WITHIN(dial.closure_deg.value(), 360.0 * (over - 1.0), 1e-4);
        CHECK_WITHIN(dial.closure_m.value(), 2.0 * pi * row.radius_m * (over - 1.0), 1e-5);
        CHECK_WITHIN(dial.best_speed_m_s.value(), row.dial_m_s, 1e-9);
    }
}

TEST_CASE("a rounded radius moves the speed that closes best") {
    // 5.5 m in 25 s are 1.382 m/s; at 6 m a lap in 25 s wants 1.508.
    const DialFigures dial = dialled(lapped(5.5, 25.0), 25.0);
    CHECK(dial.radius_m == 6.0);
    CHECK_WITHIN(dial.radius_off_m, 0.5, 1e-12);
    CHECK_WITHIN(dial.speed_m_s, 1.4, 1e-12);
    CHECK_RELATIVE(dial.lap_s, 2.0 * pi * 6.0 / 1.4, 1e-9);
    CHECK_RELATIVE(dial.closure_deg.value(), 360.0 * (25.0 * 1.4 / (12.0 * pi) - 1.0), 1e-6);
    CHECK_WITHIN(dial.best_speed_m_s.value(), 1.5, 1e-12);
    CHECK(std::abs(dial.best_closure_deg.value()) < 3.0);
    CHECK(std::abs(dial.best_closure_deg.value()) < std::abs(dial.closure_deg.value()));
}

TEST_CASE("a small, slow flight stands at the dial's first marks; a drone's limit holds") {
    const DialFigures least = dialled(lapped(0.3, 60.0), 60.0);
    CHECK(least.radius_m == 1.0);
    CHECK_WITHIN(least.speed_m_s, 0.1, 1e-12);
    Flight quick = lapped(5.0, 16.1);  // 1.951 m/s
    quick.limits.speed_m_s = 1.97;
    CHECK_WITHIN(dialled(quick, 25.0).speed_m_s, 1.9, 1e-12);
}

TEST_CASE("a dial sets no line, and a helix does not close") {
    Flight line = paced(FlightShape::line);
    line.from_m = Vec3(0, 0, 5);
    line.to_m = Vec3(10, 0, 5);
    CHECK_FALSE(dial_figures(line, FlightPath(line, 25.0), 25.0).has_value());
    const DialFigures helix = dialled(paced(FlightShape::helix), 25.0);
    CHECK_FALSE(helix.closure_deg.has_value());
    CHECK_FALSE(helix.best_speed_m_s.has_value());
}

TEST_CASE("within limits the best speed is the slowest that ends in time") {
    Flight flight = lapped(5.0, 25.0);
    flight.limits.acceleration_m_s2 = 0.5;
    const DialFigures dial = dialled(flight, 25.0);
    REQUIRE(dial.best_speed_m_s.has_value());
    CHECK_WITHIN(dial.best_closure_deg.value(), 0.0, 0.5);
    Flight slower = flight;
    slower.lap_s.reset();
    slower.speed_m_s = *dial.best_speed_m_s - 0.1;
    CHECK(FlightPath(slower, 25.0).duration_s() > 25.0);
}

TEST_CASE("a drawn shape with a run-up closes as the shape does, cut by what the shutter leaves of it") {
    Flight square;
    square.shape = FlightShape::waypoints;
    for (const Vec2& corner : {Vec2(0.0, 0.0), Vec2(8.0, 0.0), Vec2(8.0, 8.0), Vec2(0.0, 8.0),
                               Vec2(0.0, 0.0)})
        square.path.push_back(Waypoint{Vec3(corner, 5.0)});
    square.limits = {2.0, 1.0};
    square.run_up = true;
    const double whole_s = FlightPath(square, 0.0).duration_s();
    const auto closed = closure_of(square, FlightPath(square, whole_s), whole_s, 1.0);
    REQUIRE(closed.has_value());
    CHECK_WITHIN(closed->m, 0.0, 1e-6);
    // A shutter that closes as the last metre of the shape begins leaves that metre open.
    const FlightPath path(square, 0.0);
    const double cut_s = path.time_at_s(path.shape_to_m() - 1.0);
    const auto cut = closure_of(square, path, cut_s, 1.0);
    REQUIRE(cut.has_value());
    CHECK_WITHIN(cut->m, 1.0, 1e-6);
}
