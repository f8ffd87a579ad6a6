// The lens's distortion against closed forms of Brown's radial model, and what must agree under it.
#include "scene/camera/distortion.h"

#include <array>
#include <cmath>
#include <limits>

#include "renderer/sky/sky.h"
#include "scene/basics/angle.h"
#include "scene/basics/noise.h"
#include "scene/camera/camera.h"
#include "scene/camera/lens_light.h"
#include "scene/camera/view_frustum.h"
#include "tests/film.h"
#include "tests/icosphere.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr std::array pairs{Vec2(-0.05, 0.0),   Vec2(-0.08, 0.012),  Vec2(0.04, 0.0),
                           Vec2(0.05, -0.004), Vec2(-0.03, -0.001), Vec2(0.5, 0.5)};

Camera wide_camera(const Vec2& distortion) {
    Camera camera;
    camera.position_m = {2.0, -12.0, 1.4};
    camera.bearing_deg = 130.0;
    camera.tilt_deg = 20.0;
    camera.roll_deg = -7.0;
    camera.lens.distortion = distortion;
    return camera;
}

}  // namespace

// For k2 = 0 the inverse is a root of a cubic. Barrel: r = 2 a sin(asin(3 y / 2 a) / 3) with
// a = 1 / sqrt(3 |k1|), Viete's form; pincushion with sinh. From memory.
TEST_CASE("one coefficient inverts by the closed form of a cubic") {
    for (const double k1 : {-0.05, -0.11, 0.04, 0.3}) {
        const RadialDistortion distortion({k1, 0.0});
        const double a = 1.0 / std::sqrt(3.0 * std::abs(k1));
        for (double y = 0.01; y < 1.0; y += 0.07) {
            const double third = 1.5 * y / a;
            const double r = k1 < 0.0 ? 2.0 * a * std::sin(std::asin(third) / 3.0)
                                      : 2.0 * a * std::sinh(std::asinh(third) / 3.0);
            CHECK_WITHIN(distortion.ideal_radius(y), r, 1e-13);
        }
    }
}

// P. Drap, J. Lefevre, "An exact formula for calculating inverse radial lens distortions", Sensors
// 16 (2016) 807: y (1 - k1 y^2 + (3 k1^2 - k2) y^4 + (8 k1 k2 - 12 k1^3) y^6 + ...); from memory.
TEST_CASE("two coefficients invert as the published series does") {
    for (const Vec2& k : pairs) {
        const RadialDistortion distortion(k);
        for (const double y : {0.02, 0.05, 0.1}) {
            const double u = y * y;
            const double series = y * (1.0 - k.x * u + (3.0 * k.x * k.x - k.y) * u * u +
                                       (8.0 * k.x * k.y - 12.0 * k.x * k.x * k.x) * u * u * u);
            CHECK_WITHIN(distortion.ideal_radius(y), series, 1e-6 * y);
        }
    }
}

TEST_CASE("slope, limit and the pairs that never fold") {
    for (const Vec2& k : pairs) {
        const RadialDistortion distortion(k);
        for (double r = 0.05; r < 1.5; r += 0.1)
            CHECK_WITHIN(
                (distortion.image_radius(r + 1e-5) - distortion.image_radius(r - 1e-5)) / 2e-5,
                distortion.growth(r), 1e-8);
        if (distortion.limit() < 1e9)
            CHECK_WITHIN(distortion.growth(distortion.limit()), least_growth, 1e-9);
    }
    CHECK(RadialDistortion({0.0, 0.0}).limit() == std::numeric_limits<double>::infinity());
    CHECK(RadialDistortion({0.1, 0.1}).limit() == std::numeric_limits<double>::infinity());
    CHECK(RadialDistortion({-0.08, 0.012}).limit() == std::numeric_limits<double>::infinity());
    // (1 - 0.1) = 3 x 0.1 r^2 by hand.
    CHECK_WITHIN(RadialDistortion({-0.1, 0.0}).limit(), std::sqrt(3.0), 1e-12);
}

TEST_CASE("direction undoes film_px under distortion, all over the frame") {
    for (const Vec2& k : pairs) {
        const Camera camera = wide_camera(k);
        const Projection projection(camera);
        for (double x = 0.0; x <= 6000.0; x += 300.0)
            for (double y = 0.0; y <= 4000.0; y += 250.0) {
                const Vec3 direction = projection.direction({x, y});
                const auto film_px = projection.film_px(camera.position_m + 23.0 * direction);
                REQUIRE(film_px.has_value());
                CHECK_WITHIN(*film_px, Vec2(x, y), 1e-6);
                CHECK_WITHIN(projection.cos_off_axis({x, y}),
                             glm::dot(direction, axes_of(camera).forward), 1e-12);
            }
    }
}

TEST_CASE("the image lies at r (1 + k1 r^2 + k2 r^4), and lines through the middle stay straight") {
    const Camera camera = wide_camera({-0.08, 0.012});
    const Projection projection(camera);
    const auto [right, up, forward] = axes_of(camera);
    const double focal_px = camera.focal_mm / pixel_pitch_mm(camera).x;
    const double turn = 0.6;
    for (double r = 0.1; r < 1.5; r += 0.1) {
        const Vec3 direction = forward + r * (std::cos(turn) * right + std::sin(turn) * up);
        const auto film_px = projection.film_px(camera.position_m + 9.0 * direction);
        REQUIRE(film_px.has_value());
        const double image_px = focal_px * r * (1.0 - 0.08 * r * r + 0.012 * r * r * r * r);
        CHECK_WITHIN(*film_px,
                     Vec2(3000.0 + image_px * std::cos(turn), 2000.0 - image_px * std::sin(turn)),
                     1e-8);
    }
}

TEST_CASE("nothing beyond the fold of a barrel comes back into the frame") {
    const Camera camera = wide_camera({-0.105, 0.0});
    const Projection projection(camera);
    const auto [right, up, forward] = axes_of(camera);
    for (double r = 0.0; r < 12.0; r += 0.05) {
        const auto film_px = projection.film_px(camera.position_m + forward + r * right);
        if (r > RadialDistortion(camera.lens.distortion).limit())
            CHECK_FALSE(film_px.has_value());
        else
            CHECK(film_px.has_value());
    }
}

TEST_CASE("the view's pyramid holds all of a bent frame, and the field of view is its middle's") {
    for (const Vec2& k : pairs) {
        const Camera camera = wide_camera(k);
        const ViewFrustum view = view_frustum(camera);
        const Projection projection(camera);
        for (std::int32_t i = 0; i < 2000; ++i) {
            const Vec2 share(hash_share(i, 0, 0, 1u), hash_share(i, 1, 0, 1u));
            const Vec3 place_m =
                camera.position_m + 30.0 * projection.direction(share * Vec2(camera.pixels));
            CHECK(reaches_into(view, place_m, 1e-3));
        }
        const Vec3 left = projection.direction({0.0, 2000.0});
        const Vec3 right = projection.direction({6000.0, 2000.0});
        CHECK_WITHIN(field_of_view_rad(camera).x, std::acos(glm::dot(left, right)), 1e-9);
    }
}

// Even sky of L cd/m2: H = (pi/4) T v cos^4(theta) L t / N^2 without distortion; 0.08713166 in the
// corner of 36 x 24 mm at 14 mm (rectilinear cos^4 law, computed).
TEST_CASE("natural falloff and the corner's loss, measured on film of an even sky") {
    const auto corner_over_middle = [](double corner_stops) {
        PlacedShoot shoot = dark_shoot({601, 401});
        shoot.sky.horizontal_lx = pi;
        shoot.camera.position_m = {0.0, 0.0, 1.0};
        shoot.camera.bearing_deg = 0.0;
        shoot.camera.tilt_deg = 90.0;
        shoot.camera.lens.corner_stops = corner_stops;
        const Image film = layer_of(exposed(shoot, {Quality::draft, 0}), "sky.view");
        const Projection projection(shoot.camera);
        const Sky sky(shoot.sky);
        const auto per_luminance = [&](int x, int y) {
            const glm::vec3 towards(projection.direction({x + 0.5, y + 0.5}));
            return luminance_of(film.at(x, y)) / luminance_of(sky.luminance_cd_m2(towards));
        };
        return per_luminance(0, 0) / per_luminance(300, 200);
    };
    // The corner pixel's middle lies 0.17 % of the half-diagonal within the corner: 0.4 % of light.
    const double natural = corner_over_middle(0.0);
    CHECK_RELATIVE(natural, 0.08713166, 0.01);
    CHECK_RELATIVE(std::log2(natural / corner_over_middle(1.5)), 1.5, 0.01);
}

TEST_CASE("half the way to the corner a sixteenth of its stops is lost") {
    Camera camera;
    camera.lens.corner_stops = 2.0;
    const LensLight lens(camera);
    CHECK_WITHIN(lens.corner_share({3000.0, 2000.0}), 1.0, 1e-12);
    CHECK_WITHIN(lens.corner_share({1500.0, 1000.0}), std::exp2(-2.0 / 16.0), 1e-12);
    CHECK_WITHIN(lens.corner_share({6000.0, 4000.0}), 0.25, 1e-12);
}

// Distortion moves light: what an even luminance sends through the frame is the integral of
// T v L cos(theta) over the pupil and the solid angle, whatever the map (conservation of etendue).
TEST_CASE("the light of the frame's solid angle is all on the film") {
    for (const Vec2& k : pairs) {
        Camera camera = wide_camera(k);
        camera.pixels = {600, 400};
        const LensLight lens(camera);
        const Projection projection(camera);
        const double area_mm2 = 0.06 * 0.06;
        double on_film = 0.0, sent = 0.0;
        for (int y = 0; y < 400; ++y)
            for (int x = 0; x < 600; ++x) {
                on_film += lens.factor({x + 0.5, y + 0.5}) * area_mm2;
                const Vec3 middle = projection.direction({x + 0.5, y + 0.5});
                const Vec3 a = projection.direction({x + 1.0, y + 1.0}) -
                               projection.direction({x + 0.0, y + 0.0});
                const Vec3 b = projection.direction({x + 0.0, y + 1.0}) -
                               projection.direction({x + 1.0, y + 0.0});
                const double solid_angle = 0.5 * glm::length(glm::cross(a, b));
                sent += solid_angle * glm::dot(middle, axes_of(camera).forward);
            }
        sent *= pi / 4.0 * camera.lens.transmission * 0.98 * camera.focal_mm * camera.focal_mm;
        CHECK_RELATIVE(on_film, sent, 1e-4);
    }
}

// Trails and surfaces come by different roads: the projection forwards and its inverse.
TEST_CASE("a lamp on a post is drawn where the post ends, bent frame or not") {
    for (const Vec2& k : {Vec2(0.0), Vec2(-0.08, 0.012), Vec2(0.05, -0.004)}) {
        PlacedShoot shoot = dark_shoot({300, 200});
        shoot.camera.position_m = {0.0, 0.0, 1.5};
        shoot.camera.bearing_deg = 0.0;
        shoot.camera.focus_m = 8.0;
        shoot.camera.lens.distortion = k;
        shoot.camera.lens.corner_stops = 1.0;
        const Vec3 ball_m(-7.0, 8.0, 5.2);
        add_subject(shoot, "ball", icosphere(ball_m, 0.12, 3, false));
        stand(shoot, bare_lamp("knob", 1.0), ball_m - Vec3(0.0, 0.2, 0.0));
        stand(shoot, bare_lamp("front", 1000.0), {0.0, -4.0, 1.6});
        const ExposedTake take = exposed(shoot, {Quality::good, 0});
        const auto middle_of = [](const Image& film) {
            Vec2 middle(0.0);
            double sum = 0.0;
            for (int y = 0; y < 100; ++y)
                for (int x = 0; x < 150; ++x) {
                    const double light = luminance_of(film.at(x, y));
                    middle += light * Vec2(x + 0.5, y + 0.5);
                    sum += light;
                }
            REQUIRE(sum > 0.0);
            return middle / sum;
        };
        const Vec2 by_trail = middle_of(layer_of(take, "knob.trail"));
        const Vec2 by_surface = middle_of(layer_of(take, "front.surface"));
        const auto by_projection = Projection(shoot.camera).film_px(ball_m);
        REQUIRE(by_projection.has_value());
        CHECK_WITHIN(by_surface, *by_projection, 0.4);
        CHECK_WITHIN(by_trail, *Projection(shoot.camera).film_px(ball_m - Vec3(0.0, 0.2, 0.0)),
                     0.4);
    }
}
