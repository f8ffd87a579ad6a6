#include "scene/camera/camera.h"

#include <cmath>

#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

void check_right_handed(const CameraAxes& axes) {
    CHECK_WITHIN(glm::length(axes.right), 1.0, 1e-12);
    CHECK_WITHIN(glm::length(axes.up), 1.0, 1e-12);
    CHECK_WITHIN(glm::cross(axes.up, axes.right), axes.forward, 1e-12);
}

}  // namespace

TEST_CASE("axes of a level camera follow its bearing") {
    Camera camera;
    camera.bearing_deg = 90.0;
    const CameraAxes axes = axes_of(camera);
    CHECK_WITHIN(axes.forward, Vec3(1.0, 0.0, 0.0), 1e-12);
    CHECK_WITHIN(axes.right, Vec3(0.0, -1.0, 0.0), 1e-12);
    CHECK_WITHIN(axes.up, Vec3(0.0, 0.0, 1.0), 1e-12);
}

TEST_CASE("look_at wins over bearing and tilt, and lands in the middle of the frame") {
    Camera camera;
    camera.bearing_deg = 200.0;
    camera.tilt_deg = -40.0;
    camera.roll_deg = 12.0;
    camera.look_at_m = Vec3(3.0, 4.0, 9.0);
    check_right_handed(axes_of(camera));
    const std::optional<Vec2> film_px = Projection(camera).film_px(*camera.look_at_m);
    REQUIRE(film_px.has_value());
    CHECK_WITHIN(*film_px, Vec2(3000.0, 2000.0), 1e-8);
}

TEST_CASE("straight up, straight down and a look-at on the lens itself keep sound axes") {
    for (const double tilt_deg : {90.0, -90.0})
        for (const double roll_deg : {0.0, 33.0}) {
            Camera camera;
            camera.bearing_deg = 25.0;
            camera.tilt_deg = tilt_deg;
            camera.roll_deg = roll_deg;
            check_right_handed(axes_of(camera));
            CHECK_WITHIN(axes_of(camera).forward, Vec3(0.0, 0.0, tilt_deg / 90.0), 1e-12);
            Camera by_point = camera;
            by_point.look_at_m = camera.position_m + Vec3(0.0, 0.0, tilt_deg);
            CHECK_WITHIN(axes_of(by_point).right, axes_of(camera).right, 1e-12);
        }
    Camera camera;
    camera.look_at_m = camera.position_m;
    check_right_handed(axes_of(camera));
    CHECK_WITHIN(axes_of(camera).forward, Vec3(0.0, 1.0, 0.0), 1e-12);
}

TEST_CASE("a camera rolled clockwise turns the picture anticlockwise") {
    Camera camera;
    camera.position_m = {0.0, 0.0, 0.0};
    camera.roll_deg = 90.0;
    // What stood above is now to the left.
    const std::optional<Vec2> film_px = Projection(camera).film_px({0.0, 10.0, 1.0});
    REQUIRE(film_px.has_value());
    CHECK(film_px->x < 3000.0);
    CHECK_WITHIN(film_px->y, 2000.0, 1e-9);
}

TEST_CASE("film grows right and down from the upper left corner") {
    Camera camera;
    camera.position_m = {0.0, 0.0, 0.0};
    camera.focal_mm = 18.0;
    const Projection projection(camera);
    // At 10 m half the frame is 10 m wide and 6.667 m high.
    const std::optional<Vec2> corner = projection.film_px({-10.0, 10.0, 20.0 / 3.0});
    REQUIRE(corner.has_value());
    CHECK_WITHIN(*corner, Vec2(0.0, 0.0), 1e-9);
    const std::optional<Vec2> right_low = projection.film_px({5.0, 10.0, -2.0});
    REQUIRE(right_low.has_value());
    CHECK_WITHIN(*right_low, Vec2(4500.0, 2600.0), 1e-9);
}

TEST_CASE("behind the lens there is no film position and the depth is negative") {
    const Camera camera;
    const Projection projection(camera);
    CHECK_FALSE(projection.film_px(camera.position_m - Vec3(0.0, 1.0, 0.0)).has_value());
    CHECK_FALSE(projection.film_px(camera.position_m).has_value());
    CHECK_WITHIN(projection.depth_m(camera.position_m + Vec3(5.0, -3.0, 1.0)), -3.0, 1e-12);
}

TEST_CASE("direction undoes film_px") {
    Camera camera;
    camera.bearing_deg = 130.0;
    camera.tilt_deg = 20.0;
    camera.roll_deg = -7.0;
    const Projection projection(camera);
    for (double x = 50.0; x < 6000.0; x += 737.0)
        for (double y = 10.0; y < 4000.0; y += 521.0) {
            const Vec3 direction = projection.direction({x, y});
            const std::optional<Vec2> film_px =
                projection.film_px(camera.position_m + 23.0 * direction);
            REQUIRE(film_px.has_value());
            CHECK_WITHIN(*film_px, Vec2(x, y), 1e-8);
            CHECK_WITHIN(projection.cos_off_axis({x, y}),
                         glm::dot(direction, axes_of(camera).forward), 1e-12);
        }
}
