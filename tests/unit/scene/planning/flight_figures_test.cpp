#include "scene/planning/flight_figures.h"

#include <cmath>
#include <memory>

#include "scene/basics/angle.h"
#include "scene/camera/trail_width.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// The camera of the published circle: 15 m south of its centre, 1.6 m up, level, 14 mm.
Camera level_camera() {
    Camera camera;
    camera.position_m = {0.0, -15.0, 1.6};
    camera.focal_mm = 14.0;
    camera.focus_m = 15.0;
    return camera;
}

Flight lap(FlightShape shape, double height_m) {
    Flight flight;
    flight.shape = shape;
    flight.height_m = height_m;
    flight.pace = Pace::shutter;
    return flight;
}

FlightFigures figures_of(const Camera& camera, const Flight& flight, double shutter_s = 25.0,
                         double face_mm = 38.0) {
    Lamp lamp;
    lamp.face_mm = face_mm;
    const FlightPath path(flight, shutter_s);
    return flight_figures(camera, {shutter_s, 8.0, 400.0}, flight, path,
                          {LitLamp{&lamp,
                                   {{std::make_shared<const FlightPath>(path), {}}},
                                   1.0,
                                   {{0.0, shutter_s}},
                                   {}}});
}

}  // namespace

// A level circle of R = 5 m, D = 15 m away and h = 8.4 m over a level pinhole of f = 14 mm is the
// ellipse b = f h R / (D^2 - R^2) = 2.94 mm by a = f R / sqrt(D^2 - R^2) = 4.9497475 mm; computed
// from the projection and confirmed on 2e6 points.
TEST_CASE("a level circle looks as flat as its image's ellipse") {
    const FlightFigures circle = figures_of(level_camera(), lap(FlightShape::circle, 10.0));
    REQUIRE(circle.seen.figure_px.has_value());
    const double pitch_mm = 36.0 / 6000.0;
    CHECK_RELATIVE(circle.seen.figure_px->shorter, 2.0 * 2.94 / pitch_mm, 2e-6);
    CHECK_RELATIVE(circle.seen.figure_px->longer, 2.0 * 4.9497475 / pitch_mm, 2e-6);
    CHECK_RELATIVE(circle.seen.plane_flattening.value(), 2.94 / 4.9497475, 5e-6);
    CHECK_RELATIVE(circle.seen.plane_angle_deg.value(), degrees(std::atan2(8.4, 15.0)), 1e-9);
}

TEST_CASE("a circle is 1 face-on and 0 edge-on") {
    Flight ring = lap(FlightShape::ring, 1.6);
    ring.facing_deg = 180.0;
    const FlightFigures face = figures_of(level_camera(), ring);
    CHECK_RELATIVE(face.seen.plane_flattening.value(), 1.0, 1e-6);
    CHECK_RELATIVE(face.seen.figure_px->ratio(), 1.0, 1e-6);
    CHECK_WITHIN(face.seen.plane_angle_deg.value(), 90.0, 1e-6);
    CHECK(face.seen.legible == Legibility::legible);
    ring.facing_deg = 90.0;
    const FlightFigures edge = figures_of(level_camera(), ring);
    CHECK_WITHIN(edge.seen.plane_flattening.value(), 0.0, 1e-9);
    CHECK_WITHIN(edge.seen.plane_angle_deg.value(), 0.0, 1e-9);
    CHECK(edge.seen.legible == Legibility::blot);
}

TEST_CASE("flattening stays in a larger world, in a mirrored one and with a rolled camera") {
    const Flight circle = lap(FlightShape::circle, 8.0);
    Camera camera = level_camera();
    camera.position_m = {-3.0, -15.0, 1.6};
    camera.look_at_m = Vec3(1.0, 0.0, 4.0);
    const double before = figures_of(camera, circle).seen.plane_flattening.value();
    const double extents = figures_of(camera, circle).seen.figure_px->ratio();
    CHECK(before < 0.6);

    Camera far = camera;
    far.position_m *= 3.0;
    far.look_at_m = 3.0 * *camera.look_at_m;
    Flight large = circle;
    large.height_m *= 3.0;
    large.radius_m *= 3.0;
    CHECK_RELATIVE(figures_of(far, large).seen.plane_flattening.value(), before, 1e-9);
    CHECK_RELATIVE(figures_of(far, large).seen.figure_px->ratio(), extents, 1e-9);

    Camera mirrored = camera;
    mirrored.position_m.x *= -1.0;
    mirrored.look_at_m->x *= -1.0;
    CHECK_RELATIVE(figures_of(mirrored, circle).seen.plane_flattening.value(), before, 1e-5);

    Camera rolled = camera;
    rolled.roll_deg = 37.0;
    CHECK_RELATIVE(figures_of(rolled, circle).seen.plane_flattening.value(), before, 1e-5);
}

TEST_CASE("what has no plane or isn't before the lens has no figures for it") {
    Flight helix = lap(FlightShape::helix, 4.0);
    helix.turns = 3.0;
    helix.rise_m = 6.0;
    CHECK_FALSE(figures_of(level_camera(), helix).seen.plane_angle_deg.has_value());
    Flight line = lap(FlightShape::line, 4.0);
    line.from_m = Vec3(-5, 0, 4);
    line.to_m = Vec3(5, 0, 4);
    const SeenShape straight = figures_of(level_camera(), line).seen;
    CHECK_FALSE(straight.plane_angle_deg.has_value());
    CHECK_FALSE(straight.legible.has_value());
    CHECK(straight.line_px.has_value());
    Flight about = lap(FlightShape::circle, 4.0);
    about.radius_m = 20.0;  // goes behind the camera
    const SeenShape behind = figures_of(level_camera(), about).seen;
    CHECK_FALSE(behind.figure_px.has_value());
    CHECK_FALSE(behind.plane_flattening.has_value());
    CHECK_FALSE(behind.legible.has_value());
}

// Ring and square of 4 m at 15 m: 14 mm x 4 m / 15 m = 3.7333 mm = 622.2 px. A face of F m draws
// 14 F / 15 mm = 155.56 F px.
TEST_CASE("legible, coarse, a blot: by ten and three line widths in the shorter side") {
    Flight ring = lap(FlightShape::ring, 1.6);
    ring.radius_m = 2.0;
    CHECK(figures_of(level_camera(), ring, 25.0, 390.0).seen.legible == Legibility::legible);
    CHECK(figures_of(level_camera(), ring, 25.0, 410.0).seen.legible == Legibility::coarse);
    CHECK(figures_of(level_camera(), ring, 25.0, 1300.0).seen.legible == Legibility::coarse);
    CHECK(figures_of(level_camera(), ring, 25.0, 1370.0).seen.legible == Legibility::blot);
    CHECK_RELATIVE(figures_of(level_camera(), ring, 25.0, 390.0).seen.line_px.value(),
                   std::hypot(155.5556 * 0.39, diffraction_width_mm(8.0) / 0.006), 1e-5);
}

TEST_CASE("the finest detail: turns of a helix, lit legs of a drawn path") {
    // Turns 2 m apart, 20 m away at the least: 1.4 mm there, and the line of a 50 mm face 0.035.
    Camera camera = level_camera();
    camera.position_m.y = -15.0;
    Flight helix = lap(FlightShape::helix, 4.0);
    helix.turns = 3.0;
    helix.rise_m = 6.0;
    const double lines = figures_of(camera, helix, 25.0, 50.0).seen.detail_lines.value();
    CHECK_RELATIVE(lines, 2.0 / 0.05, 0.02);  // whatever the distance, but for diffraction

    const Flight shape = lap(FlightShape::waypoints, 4.0);
    const Stroke stroke{camera, 8.0, 0.05};
    Flight drawn = shape;
    const auto at = [](double x, double z, bool lit = true, bool through = false) {
        Waypoint point;
        point.at_m = {x, 0.0, z};
        point.lit = lit;
        point.through = through;
        return point;
    };
    // Legs of 3, 2 (dark: 0.1), and a bow of 1.5 by way of a point that is no corner.
    drawn.path = {at(0, 2),  at(3, 2), at(3, 4, false), at(3.1, 4), at(4.0, 4, true, true),
                  at(4.6, 4)};
    const FlightPath any(lap(FlightShape::circle, 4.0), 25.0);
    const double finest = finest_detail_lines(drawn, any, flown_points(any, 25.0), stroke).value();
    CHECK_RELATIVE(finest, 1.5 / 0.05, 0.01);
    drawn.path.clear();
    CHECK_FALSE(finest_detail_lines(drawn, any, flown_points(any, 25.0), stroke).has_value());
}

TEST_CASE("legibility by its bounds") {
    CHECK(legibility({200, 100}, 10.0, std::nullopt) == Legibility::legible);
    CHECK(legibility({200, 99}, 10.0, std::nullopt) == Legibility::coarse);
    CHECK(legibility({200, 29}, 10.0, std::nullopt) == Legibility::blot);
    CHECK(legibility({200, 100}, 10.0, 3.0) == Legibility::legible);
    CHECK(legibility({200, 100}, 10.0, 2.9) == Legibility::coarse);
    CHECK(legibility({200, 100}, 10.0, 0.9) == Legibility::blot);
}
