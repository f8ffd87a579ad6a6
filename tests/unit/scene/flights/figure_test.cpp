#include "scene/flights/figure.h"

#include <cmath>
#include <vector>

#include "scene/camera/camera.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// An L, whose two ends and corner tell it from its mirror image: 4 wide, 8 high.
SvgDrawing letter() {
    return {{{{{10, 20}, {10, 28}, {14, 28}}, {true, true, true}, false}}};
}

std::vector<Vec3> places_of(const Waypoints& waypoints) {
    std::vector<Vec3> places;
    for (const Waypoint& waypoint : waypoints) places.push_back(waypoint.at_m);
    return places;
}

/// The L as a camera at a place sees it: positive where it reads right.
double turn_on_film(const FigurePlane& plane) {
    Camera camera;
    camera.position_m = plane.seen_from_m;
    camera.look_at_m = plane.centre_m;
    const Projection projection(camera);
    std::vector<Vec2> film;
    for (const Vec3& place : places_of(lay_figure(letter(), plane, false))) {
        const auto seen = projection.film_px(place);
        REQUIRE(seen.has_value());
        film.push_back(*seen);
    }
    const Vec2 down = film[1] - film[0];
    const Vec2 along = film[2] - film[1];
    return along.x * down.y - along.y * down.x;
}

}  // namespace

TEST_CASE("a figure stands upright on its plane, as wide as it is told") {
    FigurePlane plane;
    plane.centre_m = {1.0, 2.0, 9.0};
    plane.facing_deg = 180.0;  // to the south, where east is to the right
    plane.width_m = 2.0;
    plane.seen_from_m = {1.0, -20.0, 1.0};
    const auto upright = places_of(lay_figure(letter(), plane, false));
    REQUIRE(upright.size() == 3);
    CHECK_WITHIN(upright[0], Vec3(0.0, 2.0, 11.0), 1e-12);
    CHECK_WITHIN(upright[1], Vec3(0.0, 2.0, 7.0), 1e-12);
    CHECK_WITHIN(upright[2], Vec3(2.0, 2.0, 7.0), 1e-12);

    plane.tilt_deg = 90.0;  // level, face up, the top away from the face: to the north
    plane.seen_from_m = {1.0, -20.0, 30.0};
    const auto level = places_of(lay_figure(letter(), plane, false));
    CHECK_WITHIN(level[0], Vec3(0.0, 4.0, 9.0), 1e-12);
    CHECK_WITHIN(level[2], Vec3(2.0, 0.0, 9.0), 1e-12);

    plane.tilt_deg = 0.0;
    plane.facing_deg = 90.0;  // to the east, where north is to the right
    plane.seen_from_m = {50.0, 0.0, 1.0};
    CHECK_WITHIN(lay_figure(letter(), plane, false)[2].at_m, Vec3(1.0, 3.0, 7.0), 1e-12);
}

TEST_CASE("a figure is never mirrored for the camera, but when that is asked for") {
    FigurePlane plane;
    plane.centre_m = {3.0, 4.0, 12.0};
    for (const double facing_deg : {0.0, 77.0, 180.0, 250.0})
        for (const double tilt_deg : {-80.0, -30.0, 0.0, 45.0, 90.0})
            for (const Vec3& from_m : {Vec3(0.0, -30.0, 1.5), Vec3(2.0, 40.0, 1.5),
                                       Vec3(-25.0, 9.0, 30.0), Vec3(28.0, 1.0, 2.0)}) {
                CAPTURE(facing_deg);
                CAPTURE(tilt_deg);
                plane.facing_deg = facing_deg;
                plane.tilt_deg = tilt_deg;
                plane.seen_from_m = from_m;
                plane.mirrored = false;
                CHECK(turn_on_film(plane) > 0.0);
                plane.mirrored = true;
                CHECK(turn_on_film(plane) < 0.0);
            }
}

TEST_CASE("strokes follow each other in the dark, their ends are corners") {
    SvgDrawing drawing;
    drawing.strokes.push_back({{{0, 0}, {1, 1}, {2, 0}}, {true, false, true}, false});
    drawing.strokes.push_back({{{9, 0}, {9, 4}, {5, 4}}, {false, false, true}, true});
    drawing.strokes.push_back({{{9, 0}, {10, 0}}, {true, true}, false});
    FigurePlane plane;
    plane.width_m = 10.0;
    plane.seen_from_m = {0.0, -50.0, 2.0};
    const Waypoints waypoints = lay_figure(drawing, plane, false);
    // The last stroke begins where the one before ends, with no leg between.
    REQUIRE(waypoints.size() == 3 + 4 + 1);
    CHECK(waypoints[3].at_m == waypoints[6].at_m);
    const std::vector<bool> through{false, true, false, false, true, false, false, false};
    for (std::size_t i = 0; i < waypoints.size(); ++i) {
        CAPTURE(i);
        CHECK(waypoints[i].through == through[i]);
        CHECK(waypoints[i].lit == (i != 2));
        // The drone stops where the lamp goes out and on, so that no stroke ends in a hook.
        CHECK(waypoints[i].corner_radius_m.has_value() == (i == 2 || i == 3));
        CHECK(waypoints[i].corner_radius_m.value_or(0.0) == 0.0);
        if (i > 0) CHECK(glm::distance(waypoints[i].at_m, waypoints[i - 1].at_m) > 0.5);
    }
    CHECK(lay_figure(SvgDrawing{}, plane, false).empty());
}

TEST_CASE("the shortest dark way turns strokes round and lets closed ones begin elsewhere") {
    SvgDrawing drawing;
    drawing.strokes.push_back({{{0, 0}, {10, 0}}, {true, true}, false});
    drawing.strokes.push_back({{{30, 0}, {20, 0}}, {true, true}, false});
    drawing.strokes.push_back({{{14, 5}, {16, 0}, {12, 0}}, {true, true, true}, true});
    FigurePlane plane;
    plane.centre_m = {15.0, 0.0, 10.0};
    plane.width_m = 30.0;
    plane.seen_from_m = {15.0, -50.0, 2.0};
    const auto dark_m = [&](bool shortest_way) {
        const Waypoints waypoints = lay_figure(drawing, plane, shortest_way);
        double way_m = 0.0;
        for (std::size_t i = 1; i < waypoints.size(); ++i)
            if (!waypoints[i - 1].lit)
                way_m += glm::distance(waypoints[i - 1].at_m, waypoints[i].at_m);
        return way_m;
    };
    CHECK_WITHIN(dark_m(false), 20.0 + std::hypot(6.0, 5.0), 1e-9);
    // By hand: 10 to 12, round the triangle, 12 to 20; or 10 to 16 and 16 to 20.
    CHECK_WITHIN(dark_m(true), 10.0, 1e-9);
}
