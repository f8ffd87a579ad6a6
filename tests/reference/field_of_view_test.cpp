// Where things land on the film: fields of view, the image of a circle, a pitched camera.
#include <array>
#include <cmath>
#include <glm/gtc/matrix_transform.hpp>

#include "scene/basics/angle.h"
#include "scene/camera/camera.h"
#include "scene/camera/exposure.h"
#include "scene/flights/flight_path.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// Level, looking north from (0, -15, 1.6) through 14 mm on 36 x 24 mm.
Camera level_camera() {
    Camera camera;
    camera.position_m = {0.0, -15.0, 1.6};
    camera.bearing_deg = 0.0;
    camera.focal_mm = 14.0;
    return camera;
}

/// A circle of 5 m about the origin at 10 m, from east towards north in 36 s.
FlightPath level_circle() {
    Flight flight;
    flight.height_m = 10.0;
    flight.radius_m = 5.0;
    flight.start_bearing_deg = 90.0;
    flight.clockwise = false;
    flight.lap_s = 36.0;
    return {flight, 36.0};
}

/// Millimetres right of and above the middle of the frame.
Vec2 right_and_up_mm(const Camera& camera, const Vec3& world_m) {
    const std::optional<Vec2> film_px = Projection(camera).film_px(world_m);
    REQUIRE(film_px.has_value());
    const Vec2 from_centre_mm = (*film_px - Vec2(camera.pixels) / 2.0) * pixel_pitch_mm(camera);
    return {from_centre_mm.x, -from_centre_mm.y};
}

}  // namespace

// Geometry: 2 atan(d / 2f) on 36 x 24 mm.
TEST_CASE("fields of view of rectilinear lenses") {
    struct Row {
        double focal_mm;
        Vec3 across_up_corner_deg;
    };
    constexpr std::array rows{
        Row{14.0, {104.25, 81.20259, 114.1821}}, Row{24.0, {73.7398, 53.1301, 84.06223}},
        Row{35.0, {54.43222, 37.84929, 63.43997}}, Row{50.0, {39.59775, 26.99147, 46.793}}};
    for (const Row& row : rows) {
        Camera camera;
        camera.focal_mm = row.focal_mm;
        const Vec2 field_rad = field_of_view_rad(camera);
        CHECK_WITHIN(degrees(field_rad.x), row.across_up_corner_deg.x, 1e-4);
        CHECK_WITHIN(degrees(field_rad.y), row.across_up_corner_deg.y, 1e-4);
        const Projection projection(camera);
        const double corner_cos =
            glm::dot(projection.direction({0.0, 0.0}), projection.direction(Vec2(camera.pixels)));
        CHECK_WITHIN(degrees(std::acos(corner_cos)), row.across_up_corner_deg.z, 1e-4);
    }
}

// Rectilinear cos^4 law at 21.6333 mm off axis, computed.
TEST_CASE("natural falloff in the corner") {
    for (const auto& [focal_mm, falloff] : {std::pair{14.0, 0.08713166}, {24.0, 0.3043995}}) {
        Camera camera;
        camera.focal_mm = focal_mm;
        const double corner_cos = Projection(camera).cos_off_axis({0.0, 0.0});
        CHECK_WITHIN(lens_factor(1.0, corner_cos) / lens_factor(1.0, 1.0), falloff, 1e-6);
    }
}

// Pinhole projection u = f x / (y + 15), w = f (10 - 1.6) / (y + 15), computed.
TEST_CASE("image of a horizontal circle, point by point") {
    struct Row {
        double from_east_deg;
        Vec2 right_up_mm;
    };
    constexpr std::array rows{Row{0.0, {4.666667, 7.84}},      Row{30.0, {3.464102, 6.72}},
                              Row{60.0, {1.810645, 6.083768}}, Row{90.0, {0.0, 5.88}},
                              Row{135.0, {-2.67041, 6.34457}}, Row{180.0, {-4.666667, 7.84}},
                              Row{210.0, {-4.849742, 9.408}},  Row{270.0, {0.0, 11.76}},
                              Row{330.0, {4.849742, 9.408}}};
    const Camera camera = level_camera();
    const FlightPath path = level_circle();
    for (const Row& row : rows)
        CHECK_WITHIN(right_and_up_mm(camera, path.position_m(row.from_east_deg / 10.0)),
                     row.right_up_mm, 1e-5);
}

// Eliminating the angle gives an ellipse: w0 = f h D / (D^2 - R^2), b = f h R / (D^2 - R^2),
// a = f R / sqrt(D^2 - R^2); perimeter 4 a E(e). Derived, values computed.
TEST_CASE("the image of the circle is its ellipse") {
    constexpr double middle_mm = 8.82, half_height_mm = 2.94, half_width_mm = 4.9497475;
    const Camera camera = level_camera();
    const FlightPath path = level_circle();
    constexpr int steps = 7200;
    double perimeter_mm = 0.0;
    Vec2 low{1e9}, high{-1e9};
    Vec2 last = right_and_up_mm(camera, path.position_m(0.0));
    for (int i = 1; i <= steps; ++i) {
        const Vec2 here = right_and_up_mm(camera, path.position_m(36.0 * i / steps));
        const double across = here.x / half_width_mm;
        const double upward = (here.y - middle_mm) / half_height_mm;
        CHECK_WITHIN(across * across + upward * upward, 1.0, 1e-6);
        perimeter_mm += glm::distance(last, here);
        low = glm::min(low, here);
        high = glm::max(high, here);
        last = here;
    }
    CHECK_WITHIN(perimeter_mm, 25.190108, 1e-5);
    CHECK_WITHIN(low, Vec2(-4.9497475, 5.88), 2e-6);
    CHECK_WITHIN(high, Vec2(4.9497475, 11.76), 2e-6);
    CHECK_WITHIN(right_and_up_mm(camera, path.centre_m()), Vec2(0.0, 7.84), 1e-6);
}

// The same by homogeneous matrices: translate, turn by bearing, tilt and roll, then a projection
// matrix and a division. Shares nothing with the camera's axes.
TEST_CASE("a turned, tilted and rolled camera agrees with homogeneous matrices") {
    Camera camera = level_camera();
    camera.position_m = {9.0, -11.0, 1.2};
    camera.bearing_deg = -38.0;
    camera.tilt_deg = 27.0;
    camera.roll_deg = 8.0;
    // In the camera's frame x is right, y forward, z up.
    const glm::dmat4 one(1.0);
    glm::dmat4 to_camera = glm::rotate(one, -radians(camera.roll_deg), {0.0, 1.0, 0.0});
    to_camera = glm::rotate(to_camera, -radians(camera.tilt_deg), {1.0, 0.0, 0.0});
    to_camera = glm::rotate(to_camera, radians(camera.bearing_deg), {0.0, 0.0, 1.0});
    to_camera = glm::translate(to_camera, -camera.position_m);
    // Columns: what x, y, z and 1 add to pixel x, pixel y, depth and (unused) the last row.
    const Vec2 focal_px = camera.focal_mm / pixel_pitch_mm(camera);
    const glm::dmat4 to_film(glm::dvec4(focal_px.x, 0.0, 0.0, 0.0),
                             glm::dvec4(3000.0, 2000.0, 1.0, 0.0),
                             glm::dvec4(0.0, -focal_px.y, 0.0, 0.0), glm::dvec4(0.0));
    const Projection projection(camera);
    const FlightPath path = level_circle();
    for (int i = 0; i < 72; ++i) {
        const Vec3 world_m = path.position_m(0.5 * i);
        const glm::dvec4 film = to_film * to_camera * glm::dvec4(world_m, 1.0);
        REQUIRE(film.z > 0.0);
        const std::optional<Vec2> film_px = projection.film_px(world_m);
        REQUIRE(film_px.has_value());
        CHECK_WITHIN(*film_px, Vec2(film.x / film.z, film.y / film.z), 1e-7);
        CHECK_WITHIN(projection.depth_m(world_m), film.z, 1e-10);
    }
}
