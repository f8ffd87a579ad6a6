// Line widths as the meter tells them, against those measured across the known course in the
// developed photograph.
#include <algorithm>
#include <iterator>
#include <limits>

#include "renderer/develop/photograph.h"
#include "renderer/develop/tone.h"
#include "renderer/meter/line_widths.h"
#include "scene/shoot/lit_lamp.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr RenderSettings quick{.quality = Quality::draft, .bounces = 0};

/// Black ground under a black sky, and one lamp that flies before a lens at (0, -15, 1.6).
PlacedShoot flown(const Flight& flight, double intensity_cd, double tilt_deg) {
    PlacedShoot shoot = dark_shoot({240, 160});
    shoot.ground.reflectance = Rgb(0.0);
    fly(shoot, bare_lamp("lamp", intensity_cd), flight);
    shoot.camera.position_m = {0.0, -15.0, 1.6};
    shoot.camera.bearing_deg = 0.0;
    shoot.camera.tilt_deg = tilt_deg;
    shoot.camera.focal_mm = 20.0;
    shoot.camera.f_number = 8.0;
    shoot.camera.iso = 400.0;
    shoot.camera.shutter_s = 20.0;
    return shoot;
}

PlacedShoot halo() {
    Flight flight;
    flight.height_m = 8.0;
    flight.radius_m = 5.0;
    flight.lap_s = 20.0;
    return flown(flight, 300.0, 25.0);
}

PlacedShoot helix() {
    Flight flight;
    flight.shape = FlightShape::helix;
    flight.height_m = 2.0;
    flight.radius_m = 4.0;
    flight.rise_m = 9.0;
    flight.turns = 3.0;
    flight.lap_s = 20.0 / 3.0;
    return flown(flight, 300.0, 20.0);
}

PlacedShoot far_line() {
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(-30.0, 40.0, 10.0);
    flight.to_m = Vec3(40.0, 90.0, 22.0);
    flight.lap_s = 20.0;
    return flown(flight, 300.0, 8.0);
}

double on_screen(const Image& picture, const Vec2& place_px) {
    const auto pixel = [&](int x, int y) {
        const glm::vec3& light =
            picture.at(std::clamp(x, 0, picture.width - 1), std::clamp(y, 0, picture.height - 1));
        return tone(static_cast<double>(std::max({light.r, light.g, light.b})));
    };
    const Vec2 corner = glm::floor(place_px - 0.5);
    const Vec2 part = place_px - 0.5 - corner;
    const auto x = static_cast<int>(corner.x), y = static_cast<int>(corner.y);
    return (1.0 - part.y) * ((1.0 - part.x) * pixel(x, y) + part.x * pixel(x + 1, y)) +
           part.y * ((1.0 - part.x) * pixel(x, y + 1) + part.x * pixel(x + 1, y + 1));
}

/// A course by so many even times, in the picture.
std::vector<Vec2> course_px(const PlacedShoot& shoot, int count) {
    const Projection projection(shoot.camera);
    const auto lamps = lit_lamps(shoot, shoot.takes.front());
    std::vector<Vec2> course;
    for (int i = 0; i < count; ++i)
        if (const auto place_px =
                projection.film_px(lamps.at(0).position_m(lamps[0].lit_s() * (i + 0.5) / count)))
            course.push_back(*place_px);
    return course;
}

/// Full width at half of white, or of the brightest of a cut that doesn't come up to it: how far
/// the bright part about its middle goes, in steps of 1/50 pixel.
double measured_px(const Image& picture, const Vec2& place_px, const Vec2& across) {
    constexpr double step_px = 0.02;
    std::vector<double> cut;
    for (int i = -3000; i <= 3000; ++i)
        cut.push_back(on_screen(picture, place_px + i * step_px * across));
    const auto middle = cut.begin() + 3000;
    const auto brightest = std::max_element(middle - 50, middle + 50);
    const auto dark = [&](double level) { return level < 0.5 * *brightest; };
    const auto right = std::find_if(brightest, cut.end(), dark);
    const auto left = std::find_if(std::reverse_iterator(brightest), cut.rend(), dark).base();
    return step_px * static_cast<double>(right - left);
}

/// Measured at the place of the course next to another.
double measured_at(const Image& picture, const std::vector<Vec2>& course, const Vec2& place_px) {
    const auto at = static_cast<std::size_t>(
        std::ranges::min_element(course, {}, [&](const Vec2& p) { return apart(p, place_px); }) -
        course.begin());
    REQUIRE(apart(course[at], place_px) < 1.0);
    const Vec2 along = glm::normalize(course[std::min(at + 3, course.size() - 1)] -
                                      course[std::max<std::size_t>(at, 3) - 3]);
    return measured_px(picture, course[at], {-along.y, along.x});
}

struct Widths {
    double thickest_px, thinnest_px;
};

Widths widths_of(const LineWidths& widths) {
    REQUIRE(widths.thickest.has_value());
    REQUIRE(widths.thinnest.has_value());
    return {widths.thickest->px, widths.thinnest->px};
}

std::vector<LineWidths> all_widths(const PlacedShoot& shoot, const ExposedTake& take) {
    PointSpreads spreads(shoot.camera);
    return line_widths(shoot, {take}, spreads);
}

Widths widths_of(const PlacedShoot& shoot, const ExposedTake& take) {
    const auto all = all_widths(shoot, take);
    REQUIRE(all.size() == 1);
    return widths_of(all[0]);
}

}  // namespace

TEST_CASE("line widths of a halo, a helix and a line far off: as in the photograph") {
    for (const PlacedShoot& shoot : {halo(), helix(), far_line()}) {
        CAPTURE(shoot.flights.front().shape);
        const ExposedTake take = exposed(shoot, quick);
        const Image picture = photograph(shoot, {take});
        const auto all = all_widths(shoot, take);
        REQUIRE(all.size() == 1);
        CHECK(all[0].take == "take");
        CHECK(all[0].lamp == "lamp");
        const Widths told = widths_of(all[0]);
        const auto course = course_px(shoot, 2000);
        const double thickest_seen = measured_at(picture, course, all[0].thickest->at_px);
        const double thinnest_seen = measured_at(picture, course, all[0].thinnest->at_px);
        MESSAGE("thickest ", told.thickest_px, ", measured ", thickest_seen, "; thinnest ",
                told.thinnest_px, ", measured ", thinnest_seen);
        CHECK_WITHIN(told.thickest_px, thickest_seen, 0.3);
        CHECK_WITHIN(told.thinnest_px, thinnest_seen, 0.3);
        CHECK(told.thickest_px > told.thinnest_px);
    }
}

TEST_CASE("thickest and thinnest place of a halo: none along its course is thicker or thinner") {
    const PlacedShoot shoot = halo();
    const ExposedTake take = exposed(shoot, quick);
    const Image picture = photograph(shoot, {take});
    const auto course = course_px(shoot, 400);
    Widths seen{0.0, std::numeric_limits<double>::infinity()};
    for (std::size_t i = 10; i + 10 < course.size(); ++i) {  // the lap's ends left out
        const double width_px = measured_at(picture, course, course[i]);
        seen.thickest_px = std::max(seen.thickest_px, width_px);
        seen.thinnest_px = std::min(seen.thinnest_px, width_px);
    }
    const Widths told = widths_of(shoot, take);
    MESSAGE("told ", told.thickest_px, " and ", told.thinnest_px, ", seen ", seen.thickest_px,
            " and ", seen.thinnest_px);
    CHECK_WITHIN(told.thickest_px, seen.thickest_px, 0.3);
    CHECK_WITHIN(told.thinnest_px, seen.thinnest_px, 0.3);
}

TEST_CASE("a burnt wall behind a trail is not its width") {
    PlacedShoot shoot = far_line();
    const Widths alone = widths_of(shoot, exposed(shoot, quick));
    Mesh wall;
    wall.positions = {{-60.0f, 100.0f, 0.0f},
                      {120.0f, 100.0f, 0.0f},
                      {120.0f, 100.0f, 60.0f},
                      {-60.0f, 100.0f, 60.0f}};
    wall.normals.assign(4, {0.0f, -1.0f, 0.0f});
    wall.triangles = {{0, 1, 2}, {0, 2, 3}};
    wall.material_of = {0, 0};
    wall.materials = {{Rgb(0.8), SurfaceRelief::none}};
    add_subject(shoot, "wall", wall);
    stand(shoot, bare_lamp("flood", 1e9), {0.0, -40.0, 20.0});
    const ExposedTake take = exposed(shoot, quick);
    const Image picture = photograph(shoot, {take});
    const auto all = all_widths(shoot, take);
    REQUIRE(all.size() == 1);  // a lamp that stands draws no trail
    REQUIRE(on_screen(picture, all[0].thickest->at_px + Vec2(0.0, 12.0)) > 0.99);
    CHECK_WITHIN(widths_of(all[0]).thickest_px, alone.thickest_px, 1e-9);
    CHECK_WITHIN(widths_of(all[0]).thinnest_px, alone.thinnest_px, 1e-9);
}

// A slower film sees less of the same light.
TEST_CASE("less light never makes a trail wider") {
    for (const PlacedShoot& shoot : {halo(), helix(), far_line()}) {
        ExposedTake take = exposed(shoot, quick);
        PointSpreads spreads(shoot.camera);
        Widths before{std::numeric_limits<double>::infinity(),
                      std::numeric_limits<double>::infinity()};
        for (take.settings.iso = 1600.0; take.settings.iso > 10.0; take.settings.iso /= 2.0) {
            const Widths now = widths_of(line_widths(shoot, {take}, spreads).at(0));
            CAPTURE(take.settings.iso);
            CAPTURE(now.thickest_px);
            CAPTURE(now.thinnest_px);
            CHECK(now.thickest_px <= before.thickest_px);
            CHECK(now.thinnest_px <= before.thinnest_px);
            before = now;
        }
        CHECK(before.thinnest_px > 0.5);
    }
}

// Pixels of the reduced picture are two of the sensor's. What the lens does within one of them is
// left out, which the thinnest lines show.
TEST_CASE("line widths are shares of the frame, whatever the picture's size") {
    for (PlacedShoot shoot : {halo(), far_line()}) {
        shoot.camera.pixels = {480, 320};
        const Widths whole = widths_of(shoot, exposed(shoot, quick));
        shoot.camera.pixels = {240, 160};
        shoot.camera.sensor_pixels_across = 2.0;
        const Widths half = widths_of(shoot, exposed(shoot, quick));
        MESSAGE("thickest ", whole.thickest_px, " and ", half.thickest_px, ", thinnest ",
                whole.thinnest_px, " and ", half.thinnest_px);
        CHECK_RELATIVE(2.0 * half.thickest_px, whole.thickest_px, 0.2);
        CHECK_RELATIVE(2.0 * half.thinnest_px, whole.thinnest_px, 0.2);
    }
}

TEST_CASE("no width where a trail goes along the line of sight") {
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(0.0, 10.0, 1.6);
    flight.to_m = Vec3(0.0, 60.0, 1.6);
    const PlacedShoot shoot = flown(flight, 300.0, 0.0);
    const auto all = all_widths(shoot, exposed(shoot, quick));
    REQUIRE(all.size() == 1);
    CHECK(all[0].peak_lxs > 0.0);
    CHECK_FALSE(all[0].thickest.has_value());
    CHECK_FALSE(all[0].thinnest.has_value());
}
