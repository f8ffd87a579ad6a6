// Where lamps light open ground most, against closed forms.
#include "scene/planning/lit_ground.h"

#include <cmath>

#include "scene/basics/angle.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// Looks straight down on 40 m of ground from far above, so that the lens's falloff hardly counts.
PlacedShoot from_above() {
    PlacedShoot shoot = dark_shoot({400, 400});
    shoot.camera.position_m = {0.0, 0.0, 200.0};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 0.0);
    shoot.camera.sensor_mm = {24.0, 24.0};
    shoot.camera.focal_mm = 24.0 * 200.0 / 40.0;
    shoot.camera.shutter_s = 20.0;
    return shoot;
}

Flight circle(double height_m, double radius_m) {
    Flight flight;
    flight.height_m = height_m;
    flight.radius_m = radius_m;
    flight.lap_s = 20.0;
    return flight;
}

constexpr double over_pi = ground_reflectance / pi;

}  // namespace

TEST_CASE("under the middle of a high circle, where it lights most: I h / (h^2 + r^2)^1.5 t") {
    PlacedShoot shoot = from_above();
    fly(shoot, bare_lamp("halo", 300.0), circle(12.0, 3.0));
    const LitGround ground = lit_ground(shoot, shoot.takes.front());
    CHECK(ground.in_frame);
    CHECK_WITHIN(ground.place_m, Vec2(0.0), 0.2);
    const double lxs = 300.0 * 12.0 / std::pow(12.0 * 12.0 + 9.0, 1.5) * 20.0;
    CHECK_RELATIVE(ground.lamps_cd_s_m2, over_pi * lxs, 0.003);
}

TEST_CASE("a low circle lights most along its own ring") {
    PlacedShoot shoot = from_above();
    fly(shoot, bare_lamp("halo", 300.0), circle(2.0, 10.0));
    const LitGround ground = lit_ground(shoot, shoot.takes.front());
    CHECK_WITHIN(glm::length(ground.place_m), 9.8, 0.4);
    // A long straight line of light at height h with I t per metre of 20 s / (2 pi r): E = 2 I / v
    // h (the integral of h / (h^2 + x^2)^1.5), a circle's being a little more on its inside.
    const double per_metre_s = 20.0 / (2.0 * pi * 10.0);
    const double line_lxs = 2.0 * 300.0 * per_metre_s / 2.0;
    CHECK_RELATIVE(ground.lamps_cd_s_m2, over_pi * line_lxs, 0.08);
}

TEST_CASE("a lamp aimed aslant lights most between its foot and where it points") {
    PlacedShoot shoot = from_above();
    Lamp key = lobe_lamp("key", 5000.0, 40.0);
    key.aim = Vec3(1.0, 0.0, -1.0);
    stand(shoot, key, {-4.0, 0.0, 6.0});
    const LitGround ground = lit_ground(shoot, shoot.takes.front());
    CHECK(ground.place_m.x > -4.0);
    CHECK(ground.place_m.x < 2.0);
    CHECK_WITHIN(ground.place_m.y, 0.0, 0.2);
    // The brightest mean of I cos^40(w) cos(theta) / r^2 over a square metre.
    const auto lux = [](double x_m, double y_m) {
        const Vec3 to_ground(x_m + 4.0, y_m, -6.0);
        const double r = glm::length(to_ground);
        const double cos_to_aim = (to_ground.x - to_ground.z) / (std::sqrt(2.0) * r);
        return 5000.0 * std::pow(cos_to_aim, 40.0) * 6.0 / (r * r * r);
    };
    constexpr int side = 9;
    double most_lx = 0.0;
    for (double middle_m = -4.0; middle_m < 2.0; middle_m += 0.02) {
        double sum_lx = 0.0;
        for (int i = 0; i < side * side; ++i)
            sum_lx += lux(middle_m + (i % side + 0.5) / side - 0.5, (i / side + 0.5) / side - 0.5);
        most_lx = std::max(most_lx, sum_lx / (side * side));
    }
    CHECK_RELATIVE(ground.lamps_cd_s_m2, over_pi * most_lx * 20.0, 0.01);
}

TEST_CASE("stops, gels, colour and flashes count") {
    PlacedShoot shoot = from_above();
    Lamp lamp = bare_lamp("post", 300.0);
    stand(shoot, lamp, {0.0, 0.0, 8.0});
    const double plain = lit_ground(shoot, shoot.takes.front()).lamps_cd_s_m2;
    CHECK_RELATIVE(plain, over_pi * 300.0 / 64.0 * 20.0, 0.005);
    shoot.takes.front().lamp_stops["post"] = -1.0;
    CHECK_RELATIVE(lit_ground(shoot, shoot.takes.front()).lamps_cd_s_m2, 0.5 * plain, 1e-9);
    shoot.takes.front().lamp_stops.clear();
    shoot.lamps[0].lit_s = TimeWindows{{0.0, 5.0}};
    CHECK_RELATIVE(lit_ground(shoot, shoot.takes.front()).lamps_cd_s_m2, 0.25 * plain, 1e-9);
    shoot.lamps[0].lit_s.reset();
    shoot.lamps[0].pulse = {.per_minute = 60.0, .on_s = 0.1};
    CHECK_RELATIVE(lit_ground(shoot, shoot.takes.front()).lamps_cd_s_m2, 0.1 * plain, 1e-9);
    // Red ground sends back of a warm lamp more than of a cold one.
    shoot.ground.reflectance = {0.4, 0.1, 0.1};
    shoot.lamps[0].temperature_k = 2500.0;
    const double warm = lit_ground(shoot, shoot.takes.front()).lamps_cd_s_m2;
    shoot.lamps[0].temperature_k = 9000.0;
    CHECK(lit_ground(shoot, shoot.takes.front()).lamps_cd_s_m2 < 0.8 * warm);
}

TEST_CASE("ground out of the frame does not count, unless the frame shows none") {
    PlacedShoot shoot = from_above();
    stand(shoot, bare_lamp("post", 300.0), {60.0, 0.0, 8.0});
    const LitGround seen = lit_ground(shoot, shoot.takes.front());
    CHECK(seen.in_frame);
    CHECK_WITHIN(seen.place_m.x, 20.0, 0.2);  // the frame's edge towards the lamp
    shoot.camera.look_at_m.reset();
    shoot.camera.tilt_deg = 80.0;
    const LitGround unseen = lit_ground(shoot, shoot.takes.front());
    CHECK_FALSE(unseen.in_frame);
    CHECK_WITHIN(unseen.place_m, Vec2(60.0, 0.0), 0.2);
    CHECK(unseen.lens_factor == lens_factor(shoot.camera.lens.transmission, 1.0));
}

TEST_CASE("without lamps it is the middle of the frame's ground") {
    PlacedShoot shoot = from_above();
    shoot.camera.position_m = {0.0, -10.0, 1.5};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 1.5);  // the lower half of the frame is ground
    shoot.camera.focal_mm = 24.0;
    const LitGround ground = lit_ground(shoot, shoot.takes.front());
    CHECK(ground.lamps_cd_s_m2 == 0.0);
    // A quarter of the frame below the axis: 6 mm at 24, so 6 m off, but for rays near the horizon
    // that go too far to count.
    CHECK_WITHIN(ground.place_m, Vec2(0.0, -4.0), 0.3);
}

TEST_CASE("the lit ground is as bright on rendered film") {
    PlacedShoot shoot = dark_shoot({120, 80});
    shoot.camera.position_m = {0.0, -12.0, 4.0};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 0.0);
    shoot.camera.focal_mm = 24.0;
    Lamp lamp = lobe_lamp("warm", 400.0, 4.0);
    fly(shoot, lamp, circle(5.0, 3.0));
    const LitGround ground = lit_ground(shoot, shoot.takes.front());
    const ExposedTake film = exposed(shoot, {Quality::good, 0});
    const Image lit = layer_of(film, "warm.surface");
    const auto film_px = Projection(shoot.camera).film_px(Vec3(ground.place_m, 0.0));
    REQUIRE(film_px);
    const double told_lxs =
        ground.lens_factor * ground.lamps_cd_s_m2 / (shoot.camera.f_number * shoot.camera.f_number);
    CHECK_RELATIVE(luminance_of(lit.at(static_cast<int>(film_px->x), static_cast<int>(film_px->y))),
                   told_lxs, 0.02);
    double most_lxs = 0.0;
    for (const glm::vec3& pixel : lit.pixels) most_lxs = std::max(most_lxs, luminance_of(pixel));
    CHECK_RELATIVE(most_lxs, told_lxs, 0.03);
}
