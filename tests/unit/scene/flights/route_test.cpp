// Pieces of routes, against closed forms.
#include "scene/flights/route.h"

#include <cmath>

#include "scene/basics/angle.h"
#include "scene/flights/flight_shapes.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Flight spiral_of(double radius_m, double end_radius_m, double turns, double rise_m) {
    Flight flight;
    flight.shape = FlightShape::spiral;
    flight.radius_m = radius_m;
    flight.end_radius_m = end_radius_m;
    flight.turns = turns;
    flight.rise_m = rise_m;
    return flight;
}

/// Its length by Simpson's rule over the angle.
double summed_length_m(const Flight& flight) {
    constexpr int steps = 20000;
    const double swept = 2.0 * pi * flight.turns;
    const double growth = (flight.end_radius_m - flight.radius_m) / swept;
    const double climb = flight.rise_m / swept;
    double sum = 0.0;
    for (int i = 0; i <= steps; ++i) {
        const double radius_m = flight.radius_m + growth * swept * i / steps;
        const double weight = i == 0 || i == steps ? 1.0 : (i % 2 == 1 ? 4.0 : 2.0);
        sum += weight * std::sqrt(radius_m * radius_m + growth * growth + climb * climb);
    }
    return sum * swept / steps / 3.0;
}

}  // namespace

// r = b theta from 0 to t is b/2 (t sqrt(1 + t^2) + asinh t) long (Bronshtein and Semendyayev,
// Handbook of Mathematics, Archimedean spiral; from memory).
TEST_CASE("length of an Archimedean spiral from its centre") {
    for (const double turns : {0.5, 1.0, 3.0, 12.0}) {
        const double t = 2.0 * pi * turns;
        const double length_m = 0.5 * (6.0 / t) * (t * std::sqrt(1.0 + t * t) + std::asinh(t));
        CHECK_RELATIVE(route_of(spiral_of(0.0, 6.0, turns, 0.0)).length_m(), length_m, 1e-12);
        CHECK_RELATIVE(route_of(spiral_of(6.0, 0.0, turns, 0.0)).length_m(), length_m, 1e-12);
    }
}

TEST_CASE("length of spirals that climb, widen a little or not at all") {
    for (const double end_radius_m : {0.5, 4.9999999, 5.0, 5.00001, 20.0})
        for (const double rise_m : {0.0, 4.0, -60.0}) {
            const Flight flight = spiral_of(5.0, end_radius_m, 2.5, rise_m);
            CHECK_RELATIVE(route_of(flight).length_m(), summed_length_m(flight), 1e-11);
        }
}

TEST_CASE("a spiral's place is where its way says, its radius even with its angle") {
    const Flight flight = spiral_of(6.0, 1.0, 2.0, 3.0);
    const Route route = route_of(flight);
    const RoutePiece& piece = route.pieces().front();
    for (double way_m = 0.0; way_m <= route.length_m(); way_m += 0.37) {
        Flight part = flight;
        part.turns = piece.turned_rad(way_m) / (2.0 * pi);
        part.end_radius_m = 6.0 - 5.0 * part.turns / 2.0;
        part.rise_m = 3.0 * part.turns / 2.0;
        CHECK_WITHIN(way_m > 0.0 ? summed_length_m(part) : 0.0, way_m, 1e-9);
        const Vec3 place_m = route.position_m(way_m);
        CHECK_WITHIN(glm::length(Vec2(place_m)), part.end_radius_m, 1e-11);
        CHECK_WITHIN(place_m.z, 8.0 + part.rise_m, 1e-11);
    }
    CHECK_WITHIN(route.position_m(0.0), Vec3(0.0, -6.0, 8.0), 1e-12);
    CHECK_WITHIN(route.position_m(1e9), Vec3(0.0, -1.0, 11.0), 1e-11);
}

TEST_CASE("tangent and bend are the derivatives of the place by the way") {
    Flight flight = spiral_of(4.0, 1.0, 1.3, 5.0);
    for (const FlightShape shape : {FlightShape::spiral, FlightShape::helix, FlightShape::ring,
                                    FlightShape::circle, FlightShape::line}) {
        flight.shape = shape;
        flight.tilt_deg = 20.0;
        flight.to_m = Vec3(3.0, 9.0, 4.0);
        const Route route = route_of(flight);
        for (double way_m = 0.1; way_m < route.length_m() - 0.1; way_m += 0.53) {
            constexpr double step_m = 1e-3;
            const Vec3 before = route.position_m(way_m - step_m);
            const Vec3 here = route.position_m(way_m);
            const Vec3 after = route.position_m(way_m + step_m);
            CHECK_WITHIN(route.tangent(way_m), (after - before) / (2.0 * step_m), 2e-6);
            CHECK_WITHIN(route.bend(way_m), (after - 2.0 * here + before) / (step_m * step_m),
                         1e-5);
            CHECK_WITHIN(glm::length(route.tangent(way_m)), 1.0, 1e-14);
        }
    }
}

TEST_CASE("a part of a piece runs as the piece does, beyond its ends as well") {
    Flight flight = spiral_of(4.0, 1.0, 1.3, 5.0);
    const RoutePiece spiral = route_of(flight).pieces().front();
    flight.shape = FlightShape::helix;
    const RoutePiece helix = route_of(flight).pieces().front();
    for (const double way_m : {0.0, 0.7, 2.9}) {
        CHECK_WITHIN(spiral.part(1.5, 4.5).position_m(way_m), spiral.position_m(1.5 + way_m),
                     1e-12);
        CHECK_WITHIN(helix.part(-2.0, 1.0).position_m(way_m), helix.position_m(way_m - 2.0), 1e-12);
    }
}

TEST_CASE("a route goes on round from an arc, straight from what is none") {
    Flight flight;
    const Route circle = route_of(flight);
    CHECK_WITHIN(piece_after(circle, 5.0).end_m(), circle.position_m(5.0), 1e-12);
    CHECK_WITHIN(piece_before(circle, 5.0).start_m, circle.position_m(circle.length_m() - 5.0),
                 1e-12);
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(0.0, 0.0, 4.0);
    flight.to_m = Vec3(10.0, 0.0, 4.0);
    CHECK_WITHIN(piece_before(route_of(flight), 3.0).start_m, Vec3(-3.0, 0.0, 4.0), 1e-12);
    CHECK_WITHIN(piece_after(route_of(flight), 3.0).end_m(), Vec3(13.0, 0.0, 4.0), 1e-12);
    const Route spiral = route_of(spiral_of(4.0, 1.0, 1.3, 0.0));
    CHECK_WITHIN(piece_before(spiral, 3.0).start_m,
                 spiral.position_m(0.0) - 3.0 * spiral.tangent(0.0), 1e-12);
}
