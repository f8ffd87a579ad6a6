// Corners of drawn paths, by plane geometry.
#include "scene/flights/round_corners.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// North for `in_m`, then turned right by an angle for `out_m`.
Waypoints corner_path(double turn_deg, double in_m = 10.0, double out_m = 10.0) {
    Waypoints path(3);
    path[0].at_m = Vec3(0.0, -in_m, 5.0);
    path[1].at_m = Vec3(0.0, 0.0, 5.0);
    path[2].at_m = path[1].at_m + out_m * direction_of(radians(turn_deg));
    return path;
}

/// How near a route comes to a place.
double nearest_m(const Route& route, const Vec3& place_m) {
    double nearest_m = 1e9;
    for (int i = 0; i <= 200000; ++i)
        nearest_m = std::min(nearest_m,
                             glm::distance(route.position_m(route.length_m() * i / 2e5), place_m));
    return nearest_m;
}

/// Of a piece from the end of the one before, and of its direction.
void check_joins(const Route& route) {
    for (std::size_t i = 1; i < route.pieces().size(); ++i) {
        const RoutePiece& before = route.pieces()[i - 1];
        CHECK_WITHIN(route.pieces()[i].start_m, before.end_m(), 2e-8);
        const bool stops = std::any_of(route.stops().begin(), route.stops().end(),
                                       [&](const RouteStop& stop) { return stop.piece == i; });
        if (!stops)
            CHECK_WITHIN(route.pieces()[i].tangent(0.0), before.tangent(before.length_m), 2e-9);
    }
}

}  // namespace

// The arc leaves each leg r tan(a/2) before the corner and stays r (1/cos(a/2) - 1) away from it.
TEST_CASE("a corner with a radius is rounded by an arc tangent to both legs") {
    for (const double turn_deg : {1.0, 30.0, 90.0, 120.0, 135.0}) {
        const double half = radians(0.5 * turn_deg);
        const Route route = rounded_route(corner_path(turn_deg), 2.0);
        REQUIRE(route.pieces().size() == 3);
        CHECK_WITHIN(route.pieces()[1].radius_m, 2.0, 1e-12);
        CHECK_WITHIN(route.pieces()[0].length_m, 10.0 - 2.0 * std::tan(half), 1e-12);
        CHECK_WITHIN(route.length_m(), 20.0 - 4.0 * std::tan(half) + 4.0 * half, 1e-12);
        CHECK_WITHIN(nearest_m(route, Vec3(0.0, 0.0, 5.0)), 2.0 / std::cos(half) - 2.0, 1e-7);
        CHECK(route.stops().empty());
        check_joins(route);
    }
}

TEST_CASE("a corner without a radius is cut by no more than five centimetres") {
    for (const double turn_deg : {0.001, 1.0, 30.0, 90.0, 150.0, 179.0}) {
        const double half = radians(0.5 * turn_deg);
        const Route route = rounded_route(corner_path(turn_deg), std::nullopt);
        const double half_leg_cut_m = 5.0 * (1.0 - std::cos(half)) / std::sin(half);
        const double cut_m = std::min(corner_cut_m, half_leg_cut_m);
        CHECK_WITHIN(nearest_m(route, Vec3(0.0, 0.0, 5.0)), cut_m, 1e-6);
        CHECK(route.stops().empty());
        check_joins(route);
    }
}

TEST_CASE("a radius shrinks to where legs are short, by half of each") {
    const Route route = rounded_route(corner_path(90.0, 3.0, 10.0), 8.0);
    CHECK_WITHIN(route.pieces()[1].radius_m, 1.5, 1e-12);
    CHECK_WITHIN(route.pieces()[0].length_m, 1.5, 1e-12);
    CHECK_WITHIN(route.pieces()[2].length_m, 8.5, 1e-12);
}

TEST_CASE("the corner's own radius comes before the path's, and a point of a curve before both") {
    Waypoints path = corner_path(90.0);
    path[1].corner_radius_m = 0.7;
    CHECK_WITHIN(rounded_route(path, 2.0).pieces()[1].radius_m, 0.7, 1e-12);
    path[1].through = true;
    CHECK_WITHIN(rounded_route(path, 0.0).pieces()[1].radius_m, 5.0, 1e-12);
    CHECK(rounded_route(path, 0.0).stops().empty());
}

TEST_CASE("the drone stops just in a corner of radius 0, where it holds and where it turns back") {
    Waypoints path = corner_path(90.0);
    for (const int way : {0, 1, 2}) {
        path = corner_path(way == 2 ? 180.0 : 90.0);
        if (way == 0) path[1].corner_radius_m = 0.0;
        if (way == 1) path[1].hold_s = 3.0;
        path[1].through = way > 0;
        const Route route = rounded_route(path, std::nullopt);
        REQUIRE(route.stops().size() == 1);
        CHECK(route.stops()[0].piece == 1);
        CHECK(route.stops()[0].hold_s == (way == 1 ? 3.0 : 0.0));
        CHECK_WITHIN(route.length_m(), 20.0, 1e-12);
        CHECK_WITHIN(route.position_m(10.0), path[1].at_m, 1e-12);
    }
}

TEST_CASE("holds at the ends are stops of the ends") {
    Waypoints path = corner_path(0.0);
    path[0].hold_s = 1.0;
    path[2].hold_s = 2.0;
    const Route route = rounded_route(path, std::nullopt);
    REQUIRE(route.stops().size() == 2);
    CHECK(route.stops()[0].piece == 0);
    CHECK(route.stops()[1].piece == route.pieces().size());
}

TEST_CASE("straight on there is no arc; corners at one place are one") {
    CHECK(rounded_route(corner_path(0.0), 2.0).pieces().size() == 2);
    Waypoints path = corner_path(90.0);
    path.insert(path.begin() + 1, path[1]);
    path[1].hold_s = 1.0;
    path[2].hold_s = 2.0;
    path[2].speed_m_s = 0.5;
    const Route route = rounded_route(path, 2.0);
    REQUIRE(route.stops().size() == 1);
    CHECK(route.stops()[0].hold_s == 3.0);
    REQUIRE(route.legs().size() == 2);
    CHECK(route.legs()[1].speed_m_s == 0.5);
    const Waypoints one(4, path[0]);
    CHECK(rounded_route(one, 2.0).length_m() == 0.0);
    CHECK(rounded_route(one, 2.0).position_m(1.0) == path[0].at_m);
    CHECK(rounded_route({}, 2.0).length_m() == 0.0);
}

TEST_CASE("legs meet in the middle of the arc between them") {
    const Route route = rounded_route(corner_path(90.0), 2.0);
    REQUIRE(route.legs().size() == 2);
    CHECK_WITHIN(route.legs()[0].to_m, 8.0 + 0.5 * pi, 1e-12);
    CHECK(route.legs()[1].to_m == route.length_m());
}
