#include "renderer/meter/meter.h"

#include <cmath>

#include "tests/film.h"
#include "tests/icosphere.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A standing lamp over the origin, the camera level with the ground's near part.
PlacedShoot lit_ground() {
    PlacedShoot shoot = dark_shoot({240, 160});
    stand(shoot, bare_lamp("lamp", 200.0), {0.0, 0.0, 4.0});
    shoot.camera.position_m = {0.0, -8.0, 3.0};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 0.5);
    shoot.camera.focal_mm = 24.0;
    shoot.camera.f_number = 8.0;
    shoot.camera.iso = 400.0;
    shoot.camera.shutter_s = 10.0;
    return shoot;
}

MeterReading reading_of(const PlacedShoot& shoot) {
    const auto takes = expose(shoot, {.quality = Quality::draft, .bounces = 0});
    REQUIRE(takes.has_value());
    return meter(shoot, *takes);
}

}  // namespace

// E = 200 / 16 lx below the lamp, for 10 s; H = q rho E t / (pi N^2), stops = log2(H S / 10).
TEST_CASE("a point's reading is the film's exposure there") {
    PlacedShoot shoot = lit_ground();
    shoot.points = {{"foot", {0.0, 0.0, 0.0}}};
    const MeterReading reading = reading_of(shoot);
    REQUIRE(reading.points.size() == 1);
    const PointReading& point = reading.points[0];
    CHECK(point.in_frame);
    CHECK_FALSE(point.hidden);
    REQUIRE(point.takes.size() == 1);
    const TakeReading& take = point.brightest_take();
    CHECK(take.take == "take");
    const Projection projection(shoot.camera);
    const double q =
        pi / 4 * 0.9 * 0.98 * std::pow(projection.cos_off_axis(*projection.film_px({0, 0, 0})), 4);
    const double expected_lxs = q * ground_reflectance * 200.0 / 16.0 * 10.0 / (pi * 8.0 * 8.0);
    REQUIRE(take.layers.contains("lamp.surface"));
    // Of 3 % glare a part stays within a few pixels; diffraction takes some farther.
    CHECK(take.layers.at("lamp.surface") < 0.99 * expected_lxs);
    CHECK(take.layers.at("lamp.surface") > 0.94 * expected_lxs);
    double sum_lxs = 0.0;
    for (const auto& [name, lxs] : take.layers) sum_lxs += lxs;
    CHECK_RELATIVE(take.exposure_lxs, sum_lxs, 1e-9);
    CHECK_WITHIN(take.stops, std::log2(take.exposure_lxs * 400.0 / 10.0), 1e-9);
}

TEST_CASE("points outside the frame, behind the lens and behind something") {
    PlacedShoot shoot = lit_ground();
    add_subject(shoot, "ball", icosphere({0.0, -2.0, 1.0}, 0.8, 3, false));
    shoot.points = {{"aside", {80.0, 0.0, 0.0}},
                    {"behind", {0.0, -20.0, 0.0}},
                    {"hidden", {0.0, 1.2, 0.02}},
                    {"front", {0.0, -2.55, 1.55}}};
    const MeterReading reading = reading_of(shoot);
    REQUIRE(reading.points.size() == 4);
    CHECK_FALSE(reading.points[0].in_frame);
    CHECK_FALSE(reading.points[1].in_frame);
    CHECK(reading.points[1].takes.empty());
    CHECK(std::isinf(reading.points[1].picture_stops));
    CHECK(reading.points[2].in_frame);
    CHECK(reading.points[2].hidden);
    CHECK(reading.points[3].in_frame);
    CHECK_FALSE(reading.points[3].hidden);
}

TEST_CASE("the brightest take is read") {
    PlacedShoot shoot = lit_ground();
    shoot.points = {{"foot", {0.0, 0.0, 0.0}}};
    Take second = shoot.takes.front();
    second.name = "longer";
    second.shutter_s = 40.0;
    shoot.takes.push_back(second);
    shoot.photograph.takes = {"take", "longer"};
    const MeterReading reading = reading_of(shoot);
    CHECK(reading.points[0].brightest_take().take == "longer");
    CHECK(reading.points[0].takes.size() == 2);
}

TEST_CASE("black and burnt shares") {
    PlacedShoot dark = lit_ground();
    dark.lamps[0].flux_lm = 1e-6;
    const MeterReading none = reading_of(dark);
    CHECK(none.black_share == 1.0);
    CHECK(none.burnt_share == 0.0);
    PlacedShoot bright = lit_ground();
    bright.sky.horizontal_lx = 1e6;
    const MeterReading all = reading_of(bright);
    CHECK(all.black_share == 0.0);
    CHECK(all.burnt_share == 1.0);
}

TEST_CASE("a trail's reading: its peak over saturation") {
    const PlacedShoot shoot = lit_ground();
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

// Signal over noise: n / sqrt(n + dark + read^2), all in electrons (EMVA 1288, shot, dark and read
// noise added as variances).
TEST_CASE("electrons and signal to noise at a point") {
    PlacedShoot shoot = lit_ground();
    shoot.points = {{"foot", {0.0, 0.0, 0.0}}};
    shoot.camera.sensor_pixels_across = 25.0;  // as if reduced from 6000 x 4000
    shoot.camera.sensor.quantum_efficiency = 0.25;
    shoot.camera.sensor.read_noise_e = 4.0;
    shoot.camera.sensor.dark_current_e_s = 0.3;
    const MeterReading reading = reading_of(shoot);
    const TakeReading& take = reading.points.at(0).brightest_take();
    CHECK_FALSE(take.clipped);
    // 36 square micrometres, and 10880 photons of daylight in a lux second on each.
    const double electrons = take.exposure_lxs * 10880.1 * 36.0 * 0.25;
    CHECK_RELATIVE(take.electrons, electrons, 1e-6);
    CHECK_RELATIVE(take.snr, electrons / std::sqrt(electrons + 0.3 * 10.0 + 16.0), 1e-6);
    CHECK_WITHIN(reading.points[0].picture_stops, take.stops, 0.2);  // balance and colour

    shoot.lamps[0].flux_lm *= 1e4;
    const MeterReading burnt = reading_of(shoot);
    const TakeReading& full = burnt.points.at(0).brightest_take();
    CHECK(full.clipped);
    CHECK_RELATIVE(full.electrons, 78.0 / 400.0 * 10880.1 * 36.0 * 0.25, 1e-6);
    CHECK(full.exposure_lxs > 78.0 / 400.0);
}

TEST_CASE("what each layer does to the whole frame") {
    PlacedShoot shoot = lit_ground();
    Lamp second = bare_lamp("second", 100.0);
    stand(shoot, second, {0.0, 0.0, 4.0});
    const MeterReading reading = reading_of(shoot);
    REQUIRE(reading.takes.size() == 1);
    const auto& shares = reading.takes[0].shares;
    double sum = 0.0;
    for (const auto& [layer, share] : shares) sum += share;
    CHECK_WITHIN(sum, 1.0, 1e-9);
    // Half the candela in the same place.
    CHECK_RELATIVE(shares.at("second.surface"), 0.5 * shares.at("lamp.surface"), 0.01);
}

TEST_CASE("shares of the photograph by stops agree with black and burnt") {
    PlacedShoot shoot = lit_ground();
    shoot.sky.horizontal_lx = 0.01;
    const MeterReading reading = reading_of(shoot);
    double sum = 0.0;
    double black = 0.0;
    for (std::size_t i = 0; i < reading.step_shares.size(); ++i) {
        sum += reading.step_shares[i];
        if (i < 5) black += reading.step_shares[i];  // under -10, then four stops up to -6
    }
    CHECK_WITHIN(sum, 1.0, 1e-9);
    CHECK_WITHIN(reading.black_share, black, 1e-12);
    CHECK(reading.burnt_share == reading.step_shares.back());
}

TEST_CASE("a trail shows widest where the most light falls, and by more than its own width") {
    PlacedShoot shoot = lit_ground();
    const MeterReading reading = reading_of(shoot);
    const TrailReading& trail = reading.trail.at("lamp");
    CHECK(trail.take == "take");
    const auto lamp_px = Projection(shoot.camera).film_px({0.0, 0.0, 4.0});
    REQUIRE(lamp_px.has_value());
    CHECK(glm::length(trail.peak_px - *lamp_px) < 2.0);
    REQUIRE(trail.width_seen_px.has_value());
    CHECK(*trail.width_seen_px > trail.width_px);

    shoot.lamps[0].flux_lm *= 100.0;
    const MeterReading stronger = reading_of(shoot);
    REQUIRE(stronger.trail.at("lamp").width_seen_px.has_value());
    CHECK(*stronger.trail.at("lamp").width_seen_px > *trail.width_seen_px);
    shoot.lamps[0].flux_lm *= 1e-9;
    CHECK(reading_of(shoot).trail.at("lamp").width_seen_px == 0.0);
}
