#include "renderer/meter.h"

#include <cmath>

#include "tests/film.h"
#include "tests/icosphere.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A standing lamp over the origin, the camera level with the ground's near part.
Shoot lit_ground() {
    Shoot shoot = dark_shoot({240, 160});
    stand(shoot, bare_lamp("lamp", 200.0), {0.0, 0.0, 4.0});
    shoot.camera.position_m = {0.0, -8.0, 3.0};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 0.5);
    shoot.camera.focal_mm = 24.0;
    shoot.camera.f_number = 8.0;
    shoot.camera.iso = 400.0;
    shoot.camera.shutter_s = 10.0;
    return shoot;
}

MeterReading reading_of(const Shoot& shoot) {
    const auto takes = expose(shoot, {.quality = Quality::draft, .bounces = 0});
    REQUIRE(takes.has_value());
    return meter(shoot, *takes);
}

}  // namespace

// E = 200 / 16 lx below the lamp, for 10 s; H = q rho E t / (pi N^2), stops = log2(H S / 10).
TEST_CASE("a point's reading is the film's exposure there") {
    Shoot shoot = lit_ground();
    shoot.points = {{"foot", {0.0, 0.0, 0.0}}};
    const MeterReading reading = reading_of(shoot);
    REQUIRE(reading.points.size() == 1);
    const PointReading& point = reading.points[0];
    CHECK(point.in_frame);
    CHECK_FALSE(point.hidden);
    CHECK(point.take == "take");
    const Projection projection(shoot.camera);
    const double q =
        pi / 4 * 0.9 * 0.98 * std::pow(projection.cos_off_axis(*projection.film_px({0, 0, 0})), 4);
    const double expected_lxs = q * ground_reflectance * 200.0 / 16.0 * 10.0 / (pi * 8.0 * 8.0);
    REQUIRE(point.layers.contains("lamp.surface"));
    // The lens spreads 3 % of it as glare, and diffraction takes some beyond a few pixels.
    CHECK(point.layers.at("lamp.surface") < 0.97 * expected_lxs);
    CHECK(point.layers.at("lamp.surface") > 0.94 * expected_lxs);
    double sum_lxs = 0.0;
    for (const auto& [name, lxs] : point.layers) sum_lxs += lxs;
    CHECK_RELATIVE(point.exposure_lxs, sum_lxs, 1e-9);
    CHECK_WITHIN(point.stops, std::log2(point.exposure_lxs * 400.0 / 10.0), 1e-9);
}

TEST_CASE("points outside the frame, behind the lens and behind something") {
    Shoot shoot = lit_ground();
    add_subject(shoot, "ball", icosphere({0.0, -2.0, 1.0}, 0.8, 3, false));
    shoot.points = {{"aside", {80.0, 0.0, 0.0}},
                    {"behind", {0.0, -20.0, 0.0}},
                    {"hidden", {0.0, 1.2, 0.02}},
                    {"front", {0.0, -2.55, 1.55}}};
    const MeterReading reading = reading_of(shoot);
    REQUIRE(reading.points.size() == 4);
    CHECK_FALSE(reading.points[0].in_frame);
    CHECK_FALSE(reading.points[1].in_frame);
    CHECK(std::isinf(reading.points[1].stops));
    CHECK(reading.points[2].in_frame);
    CHECK(reading.points[2].hidden);
    CHECK(reading.points[3].in_frame);
    CHECK_FALSE(reading.points[3].hidden);
}

TEST_CASE("the brightest take is read") {
    Shoot shoot = lit_ground();
    shoot.points = {{"foot", {0.0, 0.0, 0.0}}};
    Take second = shoot.takes.front();
    second.name = "longer";
    second.shutter_s = 40.0;
    shoot.takes.push_back(second);
    shoot.photograph.takes = {"take", "longer"};
    const MeterReading reading = reading_of(shoot);
    CHECK(reading.points[0].take == "longer");
}

TEST_CASE("black and burnt shares") {
    Shoot dark = lit_ground();
    dark.lamps[0].flux_lm = 1e-6;
    const MeterReading none = reading_of(dark);
    CHECK(none.black_share == 1.0);
    CHECK(none.burnt_share == 0.0);
    Shoot bright = lit_ground();
    bright.sky.horizontal_lx = 1e6;
    const MeterReading all = reading_of(bright);
    CHECK(all.black_share == 0.0);
    CHECK(all.burnt_share == 1.0);
}

TEST_CASE("a trail's reading: its peak over saturation") {
    const Shoot shoot = lit_ground();
    const auto takes = expose(shoot, {.quality = Quality::draft, .bounces = 0});
    REQUIRE(takes.has_value());
    const MeterReading reading = meter(shoot, *takes);
    REQUIRE(reading.trail.contains("lamp"));
    double peak_lxs = 0.0;
    for (const glm::vec3& pixel : layer_of(takes->front(), "lamp.trail").pixels)
        peak_lxs = std::max(peak_lxs, luminance_of(pixel));
    const TrailReading& trail = reading.trail.at("lamp");
    CHECK_RELATIVE(trail.peak_lxs, peak_lxs, 1e-6);
    CHECK_WITHIN(trail.stops_over_saturation, std::log2(peak_lxs * 400.0 / 78.0), 1e-6);
    CHECK(trail.width_px >= 1.0);
    CHECK(trail.width_px <= 4.0);
}
