// Figures of drawn shapes, by plane geometry.
#include "scene/flights/flight_shapes.h"

#include <cmath>

#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Flight star_of(int tips) {
    Flight flight;
    flight.shape = FlightShape::star;
    flight.centre_m = {3.0, -2.0};
    flight.height_m = 12.0;
    flight.radius_m = 5.0;
    flight.tips = tips;
    flight.corner_radius_m = 0.0;
    return flight;
}

}  // namespace

// In a pentagram each line is cut in golden section: the outline's edges are R / phi^2 * 2 sin(36
// deg) apart, and its inner corners lie at R / phi^2 (Weisstein, "Pentagram", MathWorld; from
// memory).
TEST_CASE("a star of five tips is the pentagram's outline") {
    const double golden = 0.5 * (1.0 + std::sqrt(5.0));
    const Flight flight = star_of(5);
    CHECK_RELATIVE(inner_radius_of(flight), 5.0 / (golden * golden), 1e-14);
    const Route route = route_of(flight);
    const double line_m = 2.0 * 5.0 * std::sin(radians(72.0));  // from tip to tip
    CHECK_RELATIVE(route.length_m(), 10.0 * line_m / (golden * golden), 1e-12);
    REQUIRE(route.pieces().size() == 10);
    // Two tips, and the corners between that lie on the line from one to the other.
    const Vec3 tip = route.pieces()[0].start_m;
    const Vec3 other = route.pieces()[4].start_m;
    for (const std::size_t corner : {1u, 3u}) {
        const Vec3 apart = route.pieces()[corner].start_m - tip;
        CHECK_WITHIN(glm::length(glm::cross(apart, glm::normalize(other - tip))), 0.0, 1e-12);
    }
    CHECK_WITHIN(glm::distance(tip, other), line_m, 1e-12);
}

TEST_CASE("a star stands on a ring's plane, its first tip at the top, and goes clockwise round") {
    Flight flight = star_of(5);
    const Route route = route_of(flight);
    CHECK_WITHIN(route.position_m(0.0), Vec3(3.0, -2.0, 17.0), 1e-12);
    CHECK_WITHIN(route.position_m(route.length_m()), Vec3(3.0, -2.0, 17.0), 1e-12);
    // Seen from the south, east is to the right: the second tip at 72 degrees on the clock.
    CHECK_WITHIN(
        route.pieces()[2].start_m,
        Vec3(3.0 + 5.0 * std::sin(radians(72.0)), -2.0, 12.0 + 5.0 * std::cos(radians(72.0))),
        1e-12);
    flight.tilt_deg = 90.0;  // lies on its back, its top to the north
    CHECK_WITHIN(route_of(flight).position_m(0.0), Vec3(3.0, 3.0, 12.0), 1e-12);
    CHECK(closes(FlightShape::star));
    CHECK(ends_where_it_began(flight));
}

TEST_CASE("inner corners of other stars") {
    // The hexagram's are at R / sqrt(3): those of the hexagon inside its two triangles.
    CHECK_RELATIVE(inner_radius_of(star_of(6)), 5.0 / std::sqrt(3.0), 1e-14);
    CHECK_RELATIVE(inner_radius_of(star_of(4)), 2.5, 1e-14);
    Flight flight = star_of(7);
    flight.inner_radius_m = 4.0;
    CHECK(inner_radius_of(flight) == 4.0);
}

TEST_CASE("a sweep fills its width with lanes, there and back") {
    Flight flight;
    flight.shape = FlightShape::sweep;
    flight.centre_m = {10.0, 20.0};
    flight.height_m = 15.0;
    flight.length_m = 30.0;
    flight.width_m = 12.0;
    flight.lane_m = 4.0;
    flight.bearing_deg = 90.0;
    flight.corner_radius_m = 0.0;
    CHECK(lanes_of(flight) == 4);
    const Route route = route_of(flight);
    CHECK_WITHIN(route.length_m(), 4 * 30.0 + 3 * 4.0, 1e-12);
    CHECK_WITHIN(route.position_m(0.0), Vec3(-5.0, 26.0, 15.0), 1e-12);
    CHECK_WITHIN(route.position_m(30.0), Vec3(25.0, 26.0, 15.0), 1e-12);
    CHECK_WITHIN(route.position_m(34.0), Vec3(25.0, 22.0, 15.0), 1e-12);
    CHECK_WITHIN(route.position_m(132.0), Vec3(-5.0, 14.0, 15.0), 1e-12);
    flight.width_m = 3.0;
    CHECK(lanes_of(flight) == 1);
    flight.corner_radius_m = 2.0;
    flight.width_m = 12.0;  // half circles between the lanes
    CHECK_WITHIN(route_of(flight).length_m(), 4 * 30.0 + 3 * 4.0 - 6 * (4.0 - pi), 1e-11);
}

TEST_CASE("waypoints and figures that come back are told from those that do not") {
    Flight flight;
    for (const FlightShape shape : {FlightShape::waypoints, FlightShape::figure}) {
        flight.shape = shape;
        flight.path.assign(4, Waypoint{});
        flight.path[1].at_m = Vec3(4.0, 0.0, 0.0);
        flight.path[2].at_m = Vec3(4.0, 4.0, 2.0);
        CHECK(ends_where_it_began(flight));
        flight.path[3].at_m = Vec3(0.0, 1.0, 0.0);
        CHECK_FALSE(ends_where_it_began(flight));
        CHECK_FALSE(closes(shape));
    }
    flight.shape = FlightShape::waypoints;
    CHECK_WITHIN(centre_of(flight), Vec3(2.0, 2.0, 1.0), 1e-12);
}
