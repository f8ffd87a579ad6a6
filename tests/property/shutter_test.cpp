// What changes while the shutter is open, on film: windows of light, beacons, uneven speed.
#include <cmath>
#include <set>

#include "scene/shoot/lit_lamp.h"
#include "tests/film.h"
#include "tests/icosphere.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

const RenderSettings direct{.quality = Quality::good, .bounces = 0};

/// A ball on the ground, and a lamp that flies over it from rest to rest.
PlacedShoot ball_under_flight() {
    PlacedShoot shoot = dark_shoot({36, 24});
    shoot.camera.position_m = {0.5, -9.0, 1.8};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 1.5);
    shoot.camera.focal_mm = 20.0;
    shoot.camera.shutter_s = 16.0;
    add_subject(shoot, "ball", icosphere({0.0, 0.0, 0.9}, 0.9, 3, false));
    Flight halo;
    halo.height_m = 4.0;
    halo.radius_m = 3.0;
    halo.pace = Pace::shutter;
    halo.limits = {std::nullopt, 0.6};
    Lamp lamp = lobe_lamp("lamp", 200.0, 3.0);
    lamp.spill = 0.05;
    fly(shoot, lamp, halo);
    return shoot;
}

Image lit_in(PlacedShoot shoot, const TimeWindows& windows, const std::string& layer) {
    shoot.lamps.front().lit_s = windows;
    return layer_of(exposed(shoot, direct), layer);
}

/// Relative difference of the sums, and of the pixels (rms over the mean).
void check_near(const Image& one, const Image& other, double sums, double pixels) {
    REQUIRE(sum_of(one) > 0.0);
    double squares = 0.0;
    for (std::size_t i = 0; i < one.pixels.size(); ++i) {
        const double apart = luminance_of(one.pixels[i]) - luminance_of(other.pixels[i]);
        squares += apart * apart;
    }
    const auto count = static_cast<double>(one.pixels.size());
    CHECK_RELATIVE(sum_of(other), sum_of(one), sums);
    CHECK(std::sqrt(squares / count) <= pixels * sum_of(one) / count);
}

Image sum_of_films(const std::vector<Image>& films) {
    Image sum = films.front();
    for (std::size_t k = 1; k < films.size(); ++k)
        for (std::size_t i = 0; i < sum.pixels.size(); ++i) sum.pixels[i] += films[k].pixels[i];
    return sum;
}

/// A lamp that flies level from left to right before a level camera, 12 m in 12 s.
PlacedShoot level_pass() {
    PlacedShoot shoot = dark_shoot({640, 40});
    shoot.camera.sensor_mm = {36.0, 36.0 * 40.0 / 640.0};
    shoot.camera.position_m = {0.0, -20.0, 5.0};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 5.0);
    shoot.camera.focal_mm = 48.0;
    shoot.camera.focus_m = 20.0;
    shoot.camera.f_number = 8.0;
    shoot.camera.shutter_s = 12.0;
    Flight pass;
    pass.shape = FlightShape::line;
    pass.from_m = Vec3(-6.0, 0.0, 5.0);
    pass.to_m = Vec3(6.0, 0.0, 5.0);
    pass.pace = Pace::shutter;
    fly(shoot, bare_lamp("lamp", 50.0), pass);
    return shoot;
}

/// Exposure of each column of a film.
std::vector<double> columns_of(const Image& film) {
    std::vector<double> columns(static_cast<std::size_t>(film.width));
    for (int y = 0; y < film.height; ++y)
        for (int x = 0; x < film.width; ++x)
            columns[static_cast<std::size_t>(x)] += luminance_of(film.at(x, y));
    return columns;
}

struct Dash {
    double from_px;
    double to_px;
    double light;
};

/// Runs of lit columns, dark ones between; their ends set by half of the light of a full column.
std::vector<Dash> dashes_in(const std::vector<double>& columns) {
    std::vector<Dash> dashes;
    for (std::size_t x = 0; x < columns.size();) {
        if (columns[x] <= 0.0) {
            ++x;
            continue;
        }
        double light = 0.0;
        double moment = 0.0;
        double square = 0.0;
        for (; x < columns.size() && columns[x] > 0.0; ++x) {
            const double middle = static_cast<double>(x) + 0.5;
            light += columns[x];
            moment += columns[x] * middle;
            square += columns[x] * middle * middle;
        }
        // An even dash of length l has the variance l^2 / 12.
        const double middle = moment / light;
        const double half = std::sqrt(3.0 * std::max(square / light - middle * middle, 0.0));
        dashes.push_back({middle - half, middle + half, light});
    }
    return dashes;
}

}  // namespace

// Both sides have the error of `good` in every pixel, some 1 %, and less in the sum; trails are
// summed so finely that only their steps differ.
TEST_CASE("a shutter cut in two adds up to the whole") {
    const PlacedShoot shoot = ball_under_flight();
    for (const double cut_s : {2.5, 7.3, 15.0}) {
        const Image surface = sum_of_films({lit_in(shoot, {{0.0, cut_s}}, "lamp.surface"),
                                            lit_in(shoot, {{cut_s, 16.0}}, "lamp.surface")});
        check_near(lit_in(shoot, {{0.0, 16.0}}, "lamp.surface"), surface, 3e-3, 0.02);
        const Image trail = sum_of_films({lit_in(shoot, {{0.0, cut_s}}, "lamp.trail"),
                                          lit_in(shoot, {{cut_s, 16.0}}, "lamp.trail")});
        check_near(lit_in(shoot, {{0.0, 16.0}}, "lamp.trail"), trail, 1e-4, 2e-3);
    }
}

TEST_CASE("two windows in one exposure are the sum of two exposures with one each") {
    const PlacedShoot shoot = ball_under_flight();
    const Image both = lit_in(shoot, {{1.0, 4.0}, {9.0, 11.5}}, "lamp.surface");
    const Image sum = sum_of_films({lit_in(shoot, {{1.0, 4.0}}, "lamp.surface"),
                                    lit_in(shoot, {{9.0, 11.5}}, "lamp.surface")});
    check_near(both, sum, 3e-3, 0.02);
}

TEST_CASE("windows that touch are one window") {
    const PlacedShoot shoot = ball_under_flight();
    for (const std::string layer : {"lamp.surface", "lamp.trail"})
        CHECK(lit_in(shoot, {{1.0, 4.0}, {4.0, 9.0}}, layer).pixels ==
              lit_in(shoot, {{1.0, 9.0}}, layer).pixels);
}

// Whole periods within the shutter: on_s x per_minute / 60 of the steady light, all of it rounding.
TEST_CASE("a standing beacon lights the ground by its share of the time") {
    PlacedShoot shoot = dark_shoot({24, 16});
    shoot.camera.shutter_s = 10.0;
    stand(shoot, bare_lamp("post", 40.0), {1.0, 2.0, 1.5});
    add_subject(shoot, "ball", icosphere({0.0, 0.0, 0.9}, 0.9, 3, false));
    const ExposedTake steady = exposed(shoot, direct);
    shoot.lamps.front().pulse = {90.0, 0.05};
    const ExposedTake beacon = exposed(shoot, direct);
    for (const std::string name : {"post.surface", "post.trail"}) {
        const Image one = layer_of(steady, name);
        const Image other = layer_of(beacon, name);
        REQUIRE(sum_of(one) > 0.0);
        for (std::size_t i = 0; i < one.pixels.size(); ++i)
            CHECK_RELATIVE(luminance_of(other.pixels[i]),
                           0.05 * 90.0 / 60.0 * luminance_of(one.pixels[i]), 1e-5);
    }
}

TEST_CASE("a flown beacon with many flashes lights surfaces as its share of the time does") {
    PlacedShoot shoot = ball_under_flight();
    const Image steady = layer_of(exposed(shoot, direct), "lamp.surface");
    shoot.lamps.front().pulse = {1500.0, 0.01};  // 400 flashes, a quarter of the time
    Image beacon = layer_of(exposed(shoot, direct), "lamp.surface");
    for (glm::vec3& pixel : beacon.pixels) pixel *= 4.0f;
    check_near(steady, beacon, 3e-3, 0.02);
}

TEST_CASE("a beacon's trail is one dash a flash, each in its place") {
    PlacedShoot shoot = level_pass();
    const double whole = sum_of(layer_of(exposed(shoot, direct), "lamp.trail"));
    shoot.lamps.front().pulse = {60.0, 0.4, 0.3};
    const std::vector<Dash> dashes =
        dashes_in(columns_of(layer_of(exposed(shoot, direct), "lamp.trail")));
    REQUIRE(dashes.size() == 12);
    const Projection projection(shoot.camera);
    const LitLamp lit = lit_lamps(shoot, shoot.takes.front()).front();
    double light = 0.0;
    for (std::size_t k = 0; k < dashes.size(); ++k) {
        const double from_s = 0.3 + static_cast<double>(k);
        // The image is some 2 px wide, which widens the dash's variance a little.
        CHECK_WITHIN(dashes[k].from_px, projection.film_px(lit.position_m(from_s))->x, 0.15);
        CHECK_WITHIN(dashes[k].to_px, projection.film_px(lit.position_m(from_s + 0.4))->x, 0.15);
        light += dashes[k].light;
    }
    // Nearly even along the pass: the lamp is farther and more oblique at its ends.
    CHECK_RELATIVE(light, 0.4 * whole, 0.01);
}

// A trail's exposure goes with one over the speed, so from rest to rest its ends burn brightest.
TEST_CASE("a trail within limits is brighter at its ends, by the speed there") {
    PlacedShoot shoot = level_pass();
    const std::vector<double> even = columns_of(layer_of(exposed(shoot, direct), "lamp.trail"));
    shoot.flights.front().limits = {std::nullopt, 0.5};
    const std::vector<double> limited = columns_of(layer_of(exposed(shoot, direct), "lamp.trail"));
    const FlightPath path(shoot.flights.front(), shoot.camera.shutter_s);
    // v from T = L / v + v / a, L = 12 m and T = 12 s: 1.268 m/s.
    const double cruise_m_s = (6.0 - std::sqrt(36.0 - 24.0)) / 2.0;
    CHECK_RELATIVE(path.top_speed_m_s(), cruise_m_s, 1e-9);
    for (int x = 80; x < 560; ++x) {
        // 640 px of 36 mm at 48 mm and 20 m: 42.67 px a metre.
        const double from_start_m = (x + 0.5 - 320.0) / (640.0 / 15.0) + 6.0;
        const double to_end_m = std::min(from_start_m, 12.0 - from_start_m);
        const double speed_m_s = std::min(cruise_m_s, std::sqrt(2.0 * 0.5 * to_end_m));
        const auto column = static_cast<std::size_t>(x);
        CHECK_RELATIVE(limited[column] * speed_m_s, even[column], 0.02);
    }
    CHECK(limited[66] > 3.0 * limited[320]);
}
