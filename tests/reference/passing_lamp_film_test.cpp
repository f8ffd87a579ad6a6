// Lamps that pass or stand over level ground: illuminance over time, measured on rendered film.
// Values without another word are closed forms, checked against scipy quadrature.
#include <array>
#include <optional>

#include "renderer/geometry/camera_rays.h"
#include "renderer/meter/meter.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr double allowed = 0.005;
constexpr double patch_m = 0.2;

/// Lux seconds of the lamp "lamp" at a place on the ground.
double ground_lxs(PlacedShoot shoot, const Vec2& place_m) {
    look_down(shoot.camera, place_m, patch_m);
    const ExposedTake take = exposed(shoot, {.bounces = 0});
    return mean_arrived_lxs(shoot.camera, layer_of(take, "lamp.surface"));
}

/// A pass along x over the origin.
PlacedShoot level_pass(const Lamp& lamp, double height_m, double from_m, double to_m,
                       double speed_m_s) {
    PlacedShoot shoot = dark_shoot({8, 8});
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(from_m, 0.0, height_m);
    flight.to_m = Vec3(to_m, 0.0, height_m);
    flight.speed_m_s = speed_m_s;
    fly(shoot, lamp, flight);
    shoot.camera.shutter_s = 1000.0;
    return shoot;
}

PlacedShoot lap(const Lamp& lamp, double radius_m, double height_m, double lap_s) {
    PlacedShoot shoot = dark_shoot({8, 8});
    Flight flight;
    flight.radius_m = radius_m;
    flight.height_m = height_m;
    flight.lap_s = lap_s;
    fly(shoot, lamp, flight);
    shoot.camera.shutter_s = lap_s;
    return shoot;
}

Lamp lamp_with(double peak_cd, double exponent) {
    return exponent == 0.0 ? bare_lamp("lamp", peak_cd) : lobe_lamp("lamp", peak_cd, exponent);
}

/// Integral of (D^2 + x^2)^(-(m+3)/2) dx, m = 0, 1 or 2: x / (D^2 s), x / (2 D^2 s^2) + atan(x/D) /
/// (2 D^3), x / (3 D^2 s^3) + 2 x / (3 D^4 s), with s^2 = D^2 + x^2; derived.
double lobe_primitive(int exponent, double D, double x) {
    const double s = std::hypot(D, x);
    if (exponent == 0) return x / (D * D * s);
    if (exponent == 1) return x / (2 * D * D * s * s) + std::atan(x / D) / (2 * D * D * D);
    return x / (3 * D * D * s * s * s) + 2 * x / (3 * D * D * D * D * s);
}

/// A pass of a lobe I0 cos^m along x over the origin, and what it leaves on the ground.
struct Pass {
    double peak_cd;
    int exponent;
    double height_m, speed_m_s, from_m, to_m;

    PlacedShoot shoot() const {
        return level_pass(lamp_with(peak_cd, exponent), height_m, from_m, to_m, speed_m_s);
    }

    double ground_lxs(const Vec2& place_m) const {
        const double D = std::hypot(height_m, place_m.y);
        return peak_cd * std::pow(height_m, exponent + 1) / speed_m_s *
               (lobe_primitive(exponent, D, to_m - place_m.x) -
                lobe_primitive(exponent, D, from_m - place_m.x));
    }
};

}  // namespace

TEST_CASE("straight level pass, a finite stretch: film against the closed form") {
    struct Row {
        Pass pass;
        Vec2 place_m;
        std::optional<double> published_lxs;
    };
    const std::array rows{
        Row{{1000, 0, 10, 1.570796327, -10, 10}, {0, 0}, 90.031632},
        Row{{1000, 0, 10, 1.570796327, -10, 10}, {4, 5}, {}},
        Row{{500, 0, 8, 2, -3, 20}, {-6, -7}, {}},
        Row{{1000, 1, 10, 1.5, -12, 9}, {2, 3}, {}},
        Row{{1000, 2, 6, 1.5, -12, 9}, {-5, 3}, {}},
        Row{{1000, 2, 2, 1.5, -12, 9}, {1, -0.5}, {}},
    };
    for (const Row& row : rows) {
        const double expected_lxs = row.pass.ground_lxs(row.place_m);
        if (row.published_lxs) CHECK_RELATIVE(expected_lxs, *row.published_lxs, 1e-6);
        CHECK_RELATIVE(ground_lxs(row.pass.shoot(), row.place_m), expected_lxs, allowed);
    }
}

// The whole way from lamp to figure: exposed, spread by the lens (which scatters nothing here) and
// metered at places anywhere between the pixels of pictures of even sides.
TEST_CASE("straight level pass: the meter against the closed form") {
    constexpr std::array<Vec2, 6> places_m{
        {{0.0, 0.0}, {0.43, 0.29}, {-1.27, 0.72}, {2.05, -1.13}, {-2.71, -1.58}, {3.16, 1.94}}};
    // Beams downwards: no trail runs over the ground.
    const std::array passes{Pass{1000, 1, 6, 1.5, -12, 9}, Pass{1000, 2, 6, 1.5, -6, 2}};
    for (const Pass& pass : passes)
        for (const glm::ivec2& pixels : {glm::ivec2(72, 48), glm::ivec2(90, 60)}) {
            PlacedShoot shoot = pass.shoot();
            shoot.camera.pixels = pixels;
            shoot.camera.lens.glare_share = 0.0;
            look_down(shoot.camera, {0.0, 0.0}, 8.0);
            shoot.camera.iso = 0.01;  // nothing clips
            for (const Vec2& place_m : places_m)
                shoot.points.push_back({"point", Vec3(place_m, 0.0)});
            const MeterReading reading = meter(shoot, {exposed(shoot, {.bounces = 0})});
            for (std::size_t i = 0; i < places_m.size(); ++i) {
                const PointReading& point = reading.points[i];
                REQUIRE(point.in_frame);
                const double q = lens_factor(shoot.camera.lens.transmission,
                                             Projection(shoot.camera).cos_off_axis(point.place_px));
                const double metered_lxs = pi * std::pow(shoot.camera.f_number, 2) *
                                           point.brightest_take().exposure_lxs /
                                           (q * ground_reflectance);
                CHECK_RELATIVE(metered_lxs, pass.ground_lxs(places_m[i]), 0.002);
                // The photograph is read at the same place: so many stops beside the film.
                CHECK_WITHIN(
                    point.picture_stops - reading.points[0].picture_stops,
                    point.brightest_take().stops - reading.points[0].brightest_take().stops, 0.002);
            }
        }
}

// H = I0 h^(m+1) D^-(m+2) B(1/2, (m+2)/2) / v. Flown 400 m; a bare lamp leaves out
// 1 - x / sqrt(D^2 + x^2) = 0.12 % at x = 20 D.
TEST_CASE("infinite straight level pass: film against the closed form") {
    struct Row {
        double peak_cd, exponent, height_m, aside_m, speed_m_s, expected_lxs;
    };
    constexpr std::array rows{Row{1000, 0, 10, 0, 1.570796327, 127.32395},
                              Row{1000, 0, 10, 5, 1.570796327, 101.85916},
                              Row{500, 0, 8, 0, 2, 62.5},
                              Row{1000, 1, 10, 3, 1.5, 92.021407},
                              Row{1000, 2, 10, 3, 1.5, 74.815999},
                              Row{1000, 19.9937, 10, 3, 1.5, 13.970464}};
    for (const Row& row : rows) {
        const PlacedShoot shoot = level_pass(lamp_with(row.peak_cd, row.exponent), row.height_m,
                                             -200.0, 200.0, row.speed_m_s);
        CHECK_RELATIVE(ground_lxs(shoot, {0.0, row.aside_m}), row.expected_lxs, allowed);
    }
}

TEST_CASE("uniform ring, on and off its axis: film against the closed form") {
    struct Row {
        double height_m, off_axis_m, bare_lx, downward_lx;
    };
    constexpr double lap_s = 20.0;
    constexpr std::array rows{Row{10, 0, 7.1554175, 6.4}, Row{10, 2, 6.9827329, 6.2326187},
                              Row{10, 5, 6.0800336, 5.3033009}, Row{2, 5, 32.739794, 25.457383}};
    for (const Row& row : rows) {
        const double A = 25.0 + row.height_m * row.height_m + row.off_axis_m * row.off_axis_m;
        const double B = 10.0 * row.off_axis_m;
        // The published rows once more, from the formula they state.
        const double bare_lx = 1000.0 * row.height_m * 2.0 *
                               std::comp_ellint_2(std::sqrt(2.0 * B / (A + B))) /
                               (pi * (A - B) * std::sqrt(A + B));
        CHECK_RELATIVE(bare_lx, row.bare_lx, 1e-6);
        for (const double bearing_deg : {0.0, 130.0}) {
            const Vec2 place_m = row.off_axis_m * Vec2(direction_of(radians(bearing_deg)));
            const PlacedShoot bare = lap(lamp_with(1000, 0), 5.0, row.height_m, lap_s);
            CHECK_RELATIVE(ground_lxs(bare, place_m), row.bare_lx * lap_s, allowed);
            const PlacedShoot downward = lap(lamp_with(1000, 1), 5.0, row.height_m, lap_s);
            CHECK_RELATIVE(ground_lxs(downward, place_m), row.downward_lx * lap_s, allowed);
        }
    }
    const PlacedShoot two_lobes = lap(lamp_with(1000, 2), 5.0, 10.0, 25.0);
    CHECK_RELATIVE(ground_lxs(two_lobes, {0, 0}), 5.724334 * 25.0, allowed);
}

TEST_CASE("ring whose lamp is aimed at a subject in its centre: full intensity arrives there") {
    Lamp lamp = lobe_lamp("lamp", 1000.0, 8.0);
    lamp.aim = AimAtSubject{"mark"};
    PlacedShoot shoot = lap(lamp, 5.0, 10.0, 20.0);
    // A box needs no faces: two corners put its middle on the ground's centre.
    Mesh mark;
    mark.positions = {{-0.1f, -0.1f, -0.1f}, {0.1f, 0.1f, 0.1f}};
    mark.normals.assign(2, {0.0f, 0.0f, 1.0f});
    add_subject(shoot, "mark", mark);
    CHECK_RELATIVE(ground_lxs(shoot, {0.0, 0.0}), 7.1554175 * 20.0, allowed);
}

// A wall at the axis that faces north is lit by half of a lap: E_v = I R / (pi d^3), lap average.
TEST_CASE("a small upright plane in the ring's centre") {
    PlacedShoot shoot = lap(bare_lamp("lamp", 1000.0), 5.0, 10.0, 20.0);
    Mesh plane;
    plane.positions = {
        {-0.2f, 0.0f, 0.0f}, {0.2f, 0.0f, 0.0f}, {0.2f, 0.0f, 0.02f}, {-0.2f, 0.0f, 0.02f}};
    plane.normals.assign(4, {0.0f, -1.0f, 0.0f});
    plane.triangles = {{0, 1, 2}, {0, 2, 3}};
    plane.material_of = {0, 0};
    plane.materials = {{Rgb(0.25), SurfaceRelief::none}};
    add_subject(shoot, "plane", plane);
    shoot.camera.position_m = {0.0, -10.0, 0.01};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 0.01);
    shoot.camera.sensor_mm = {24.0, 24.0};
    shoot.camera.focal_mm = 24.0 * 10.0 / 0.016;
    const ExposedTake take = exposed(shoot, {.bounces = 0});
    CHECK_RELATIVE(mean_arrived_lxs(shoot.camera, layer_of(take, "lamp.surface"), 0.25),
                   1.1388201 * 20.0, allowed);
}

// E = I h / (h^2 + r^2)^(3/2): the inverse square and the cosine.
TEST_CASE("standing lamp: inverse square and cosine on film") {
    struct Row {
        double intensity_cd, height_m, aside_m, expected_lx;
    };
    constexpr std::array rows{Row{1000, 10, 0, 10.0}, Row{1000, 10, 5, 7.1554175},
                              Row{1000, 10, 10, 3.5355339}, Row{500, 8.4, 15, 0.82657222},
                              Row{1000, 5, 8.660254038, 5.0}};
    for (const Row& row : rows) {
        PlacedShoot shoot = dark_shoot({8, 8});
        stand(shoot, bare_lamp("lamp", row.intensity_cd), {0.0, 0.0, row.height_m});
        shoot.camera.shutter_s = 4.0;
        CHECK_RELATIVE(ground_lxs(shoot, {row.aside_m, 0.0}), row.expected_lx * 4.0, 0.001);
    }
}

// One oblique picture of a ring's light: every block of 4 x 4 pixels, the vignetting and the
// projection among it, against the closed form at the places where its pixels look (a pixel is
// the mean over those places).
TEST_CASE("a ring's light over the whole of an oblique picture") {
    PlacedShoot shoot = lap(bare_lamp("lamp", 1000.0), 5.0, 4.0, 20.0);
    shoot.camera.pixels = {48, 32};
    shoot.camera.position_m = {3.0, -14.0, 6.0};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 0.0);
    shoot.camera.roll_deg = 7.0;
    const ExposedTake take = exposed(shoot, {.bounces = 0});
    const Image& film = layer_of(take, "lamp.surface");
    const Projection projection(shoot.camera);
    const Effort effort = scaled_to(effort_of(Quality::good), shoot.camera.pixels);
    const int samples = effort.plain_samples;  // level ground is plain
    const Geometry geometry(shoot, {});
    const CameraRays camera_rays(shoot.camera, geometry, effort);
    int blocks = 0;
    for (int top = 0; top < 32; top += 4)
        for (int left = 0; left < 48; left += 4) {
            double measured_lxs = 0.0;
            double expected_lxs = 0.0;
            bool near = true;
            for (int y = top; y < top + 4; ++y)
                for (int x = left; x < left + 4; ++x) {
                    measured_lxs += arrived_lxs(shoot.camera, film, x, y);
                    for (int sample = 0; sample < samples; ++sample) {
                        const Vec2 place(
                            camera_rays.sample_place(sample, 4 * (y - top) + x - left));
                        const Vec3 ray = projection.direction(Vec2(x, y) + place);
                        const Vec3 place_m =
                            shoot.camera.position_m - ray * (shoot.camera.position_m.z / ray.z);
                        near = near && ray.z < -0.08;
                        const double rho = glm::length(Vec2(place_m));
                        const double A = 25.0 + 16.0 + rho * rho;
                        const double B = 10.0 * rho;
                        expected_lxs += 20.0 * 1000.0 * 4.0 * 2.0 *
                                        std::comp_ellint_2(std::sqrt(2.0 * B / (A + B))) /
                                        (pi * (A - B) * std::sqrt(A + B)) / samples;
                    }
                }
            if (!near) continue;
            ++blocks;
            CHECK_RELATIVE(measured_lxs, expected_lxs, allowed);
        }
    CHECK(blocks > 50);
}
