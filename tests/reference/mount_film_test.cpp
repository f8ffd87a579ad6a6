// Lamps that sit beside the middle of their drone, and lamps that lean with it, on film.
#include <array>
#include <cmath>
#include <vector>

#include "tests/drawn_lines.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr double gravity_m_s2 = 9.80665;  // standard gravity, ISO 80000-3
constexpr double air_kg_m3 = 1.225;       // ISO 2533, standard atmosphere at sea level

/// Where a film's light lies from row to row: its middle in x, in pixels.
double middle_of_row_px(const Image& film, int y) {
    double light = 0.0, moment = 0.0;
    for (int x = 0; x < film.width; ++x) {
        light += luminance_of(film.at(x, y));
        moment += luminance_of(film.at(x, y)) * (x + 0.5);
    }
    REQUIRE(light > 0.0);
    return moment / light;
}

/// A shoot without drag, so that nothing leans at an even speed.
PlacedShoot without_drag(const glm::ivec2& pixels) {
    PlacedShoot shoot = dark_shoot(pixels);
    shoot.drones.resize(1);
    shoot.drones.front().drag_area_m2 = 0.0;
    return shoot;
}

/// The ground from above, metre 0 in its middle and north on top.
void see_ground(Camera& camera, double patch_m) {
    look_down(camera, {0.0, 0.0}, patch_m);
    camera.position_m.y -= 1e-6;  // north is up
}

/// Middle of the light that falls on the ground, in metres.
Vec2 lit_middle_m(const Camera& camera, const Image& film) {
    const CameraAxes axes = axes_of(camera);
    const Vec2 metres = Vec2(camera.position_m.z / camera.focal_mm) * pixel_pitch_mm(camera);
    double light = 0.0;
    Vec2 moment(0.0);
    for (int y = 0; y < film.height; ++y)
        for (int x = 0; x < film.width; ++x) {
            const double here = arrived_lxs(camera, film, x, y);
            light += here;
            moment += here * (Vec2(axes.right) * ((x + 0.5 - 0.5 * film.width) * metres.x) -
                              Vec2(axes.up) * ((y + 0.5 - 0.5 * film.height) * metres.y));
        }
    REQUIRE(light > 0.0);
    return moment / light;
}

/// The same of one lobe, I0 cos^m about an aim, from a place: by hand, over a grid.
Vec2 lobe_middle_m(const Vec3& lamp_m, const Vec3& aim, double exponent, double patch_m) {
    constexpr int cells = 600;
    double light = 0.0;
    Vec2 moment(0.0);
    for (int y = 0; y < cells; ++y)
        for (int x = 0; x < cells; ++x) {
            const Vec2 at = patch_m * (Vec2(x + 0.5, y + 0.5) / static_cast<double>(cells) - 0.5);
            const Vec3 to = Vec3(at, 0.0) - lamp_m;
            const double distance = glm::length(to);
            const double cosine = glm::dot(to, aim) / distance;
            if (cosine <= 0.0) continue;
            const double here =
                std::pow(cosine, exponent) * lamp_m.z / (distance * distance * distance);
            light += here;
            moment += here * at;
        }
    return moment / light;
}

}  // namespace

TEST_CASE("two lamps on one drone draw two lines as far apart as they sit") {
    PlacedShoot shoot = without_drag({300, 300});
    look_up(shoot.camera, {0.0, 200.0, 60.0}, 6.0);
    Lamp left = bare_lamp("left", 100.0);
    left.offset_m = {-0.6, 0.0, 0.1};
    fly(shoot, left, straight_flight({0.1, 200.0, 57.0}, {0.1, 200.0, 63.0}, 1.0));
    Lamp right = bare_lamp("right", 100.0);
    right.offset_m = {0.6, 0.0, 0.1};
    shoot.lamps.push_back(right);
    shoot.flights.front().carries.push_back("right");
    struct Row {
        double nose_deg;
        double apart_m;  ///< as seen from the south
    };
    for (const Row& row : {Row{0.0, 1.2}, Row{60.0, 0.6}, Row{90.0, 0.0}, Row{180.0, -1.2}}) {
        shoot.flights.front().nose_deg = row.nose_deg;
        const ExposedTake take = exposed(shoot, {.quality = Quality::draft, .bounces = 0});
        const Image one = layer_of(take, "left.trail");
        const Image other = layer_of(take, "right.trail");
        for (int y = 60; y < 240; y += 20) {
            const double apart_px = middle_of_row_px(other, y) - middle_of_row_px(one, y);
            // A frame of 6 m at the focus, 300 px wide.
            CHECK_WITHIN(apart_px, row.apart_m * 50.0, 0.3);
        }
    }
}

// Drag rho C A v^2 / 2 over weight m g is the tangent of the lean (statics); the beam of a lamp
// that leans with it goes downwind, since the drone leans into the wind.
TEST_CASE("a fixed lamp on a drone that holds against the wind lights the ground downwind") {
    constexpr double height_m = 9.0, exponent = 800.0;
    for (const double wind_m_s : {6.0, 10.0}) {
        PlacedShoot shoot = dark_shoot({64, 64});
        shoot.drones.resize(1);
        shoot.drones.front().mass_kg = 1.2;
        shoot.drones.front().lamp_mass_kg = 0.3;
        shoot.drones.front().drag_area_m2 = 0.03;
        shoot.air.wind_m_s = wind_m_s;
        shoot.air.wind_from_deg = 60.0;
        Flight hover;
        hover.shape = FlightShape::hover;
        hover.height_m = height_m;
        hover.lap_s = 5.0;
        Lamp lamp = lobe_lamp("lamp", 1000.0, exponent);
        lamp.mount = Mount::fixed;
        fly(shoot, lamp, hover);
        see_ground(shoot.camera, 8.0);
        const auto found = [&] {
            return lit_middle_m(shoot.camera,
                                layer_of(exposed(shoot, {.bounces = 0}), "lamp.surface"));
        };
        const double tangent = 0.5 * air_kg_m3 * 0.03 * wind_m_s * wind_m_s / (1.5 * gravity_m_s2);
        const Vec3 downwind = -direction_of(radians(60.0));
        const Vec2 expected =
            lobe_middle_m({0.0, 0.0, height_m},
                          glm::normalize(tangent * downwind - Vec3(0.0, 0.0, 1.0)), exponent, 8.0);
        // Within what the lobe's own tail does: height times the tangent.
        CHECK_WITHIN(expected, height_m * tangent * Vec2(downwind), 0.02);
        CHECK_WITHIN(found(), expected, 0.01);
        shoot.lamps.front().mount = Mount::level;
        CHECK_WITHIN(found(), Vec2(0.0), 0.01);
    }
}

// Bank v^2 / (R g): a beam fixed to the drone meets the ground farther out, by height times that.
TEST_CASE("a fixed lamp on an orbit draws a wider ring of light on the ground") {
    constexpr double height_m = 8.0, radius_m = 4.0, lap_s = 9.0;
    PlacedShoot shoot = without_drag({72, 72});
    Flight orbit;
    orbit.height_m = height_m;
    orbit.radius_m = radius_m;
    orbit.lap_s = lap_s;
    Lamp lamp = lobe_lamp("lamp", 1000.0, 2000.0);
    lamp.mount = Mount::fixed;
    fly(shoot, lamp, orbit);
    shoot.camera.shutter_s = lap_s;
    see_ground(shoot.camera, 16.0);
    const auto ring_m = [&] {
        const Image film = layer_of(exposed(shoot, {.bounces = 0}), "lamp.surface");
        double light = 0.0, moment = 0.0;
        for (int y = 0; y < film.height; ++y)
            for (int x = 0; x < film.width; ++x) {
                const double r_m = glm::length(Vec2(x + 0.5, y + 0.5) - 36.0) * 16.0 / 72.0;
                const double here = arrived_lxs(shoot.camera, film, x, y);
                light += here;
                moment += here * r_m;
            }
        return moment / light;
    };
    const double speed_m_s = 2.0 * pi * radius_m / lap_s;
    const double wider_m = height_m * speed_m_s * speed_m_s / (radius_m * gravity_m_s2);
    const double fixed_m = ring_m();
    shoot.lamps.front().mount = Mount::level;
    const double level_m = ring_m();
    MESSAGE("ring of ", level_m, " m level, ", fixed_m, " m fixed; worked out ", radius_m, " and ",
            radius_m + wider_m);
    CHECK_WITHIN(level_m, radius_m, 0.01);
    CHECK_RELATIVE(fixed_m - level_m, wider_m, 0.01);
}
