#include "renderer/trails/star_trails.h"

#include <cmath>
#include <thread>

#include "scene/sky/celestial.h"
#include "scene/sky/starlight.h"
#include "tests/film.h"
#include "tests/unit/renderer/lamp_light/lit_tile.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr double shutter_s = 60.0;
constexpr BrightStar white(double ra_deg, double dec_deg, double v_mag = 0.0) {
    return {ra_deg, dec_deg, v_mag, 0.0};
}

/// The sky with right ascension 0 due south, without what the air takes.
StarField airless(double latitude_deg, std::span<const BrightStar> stars) {
    const double latitude = radians(latitude_deg);
    StarField field;
    field.stars = stars;
    field.latitude_deg = latitude_deg;
    field.horizon_from_icrs = {Vec3(0.0, -std::sin(latitude), std::cos(latitude)),
                               Vec3(1.0, 0.0, 0.0),
                               Vec3(0.0, std::cos(latitude), std::sin(latitude))};
    field.extinction = {0.0, 0.0};
    return field;
}

Camera camera_to(double bearing_deg, double tilt_deg) {
    Camera camera;
    camera.pixels = {600, 400};
    camera.bearing_deg = bearing_deg;
    camera.tilt_deg = tilt_deg;
    camera.focal_mm = 24.0;
    camera.f_number = 2.8;
    camera.position_m = Vec3(0.0);
    return camera;
}

Image picture_of(const Camera& camera, const StarField& field,
                 const TimeWindows& times = {{0.0, shutter_s}},
                 const Geometry& geometry = Geometry(std::vector<const Mesh*>{}), int side = 1) {
    TrailFilm film(camera.pixels.x, camera.pixels.y, side);
    add_stars(camera, {shutter_s, camera.f_number, camera.iso}, geometry, field, times, film);
    return film.picture();
}

/// Middle of the light, in pixels.
Vec2 middle_px(const Image& film) {
    Vec2 sum(0.0);
    for (int y = 0; y < film.height; ++y)
        for (int x = 0; x < film.width; ++x)
            sum += luminance_of(film.at(x, y)) * Vec2(x + 0.5, y + 0.5);
    return sum / sum_of(film);
}

// 2.54e-6 lx (Allen, from memory) for a minute through a pupil of 24 mm / 2.8, with 0.9 of the
// light through the glass and 0.98 past the rims, on pixels of 60 um.
const double still_lxs =
    2.54e-6 * 60.0 * 0.9 * 0.98 * pi / 4.0 * std::pow(24e-3 / 2.8, 2.0) / (60e-6 * 60e-6);

}  // namespace

TEST_CASE("a star at the pole leaves what its light through the pupil gives") {
    for (const double v_mag : {-1.44, 0.0, 2.5, 6.0}) {
        const BrightStar star = white(0.0, 90.0, v_mag);
        const Image film = picture_of(camera_to(0.0, 50.0), airless(50.0, {&star, 1}));
        CHECK_RELATIVE(sum_of(film), still_lxs * std::pow(10.0, -0.4 * v_mag), 1e-4);
        const Vec2 middle = middle_px(film);
        CHECK_WITHIN(middle.x, 300.0, 0.02);
        // Refraction at 50 degrees: 0.8 minutes of arc (Saemundsson 1986), 0.1 pixels.
        CHECK_WITHIN(middle.y, 199.9, 0.05);
    }
}

// The pupil, seen from 25 degrees off the axis, is cos 25 as wide; the film is not.
TEST_CASE("off the axis a star's light falls with one cosine") {
    const BrightStar star = white(0.0, 90.0);
    const Image film = picture_of(camera_to(25.0, 0.0), airless(0.0, {&star, 1}));
    // On the horizon a star is lifted by half a degree: 4e-5 of the cosine.
    CHECK_RELATIVE(sum_of(film), still_lxs * std::cos(radians(25.0)), 1e-3);
}

// The sky turns 15.041 degrees an hour: 0.25068 in a minute, 1.750 pixels of 60 um at 24 mm.
TEST_CASE("a star at the equator trails westward by the sidereal rate and keeps its light") {
    const BrightStar star = white(0.0, 0.0);
    for (const double minutes : {1.0, 20.0}) {
        const Image film =
            picture_of(camera_to(180.0, 40.0), airless(50.0, {&star, 1}), {{0.0, 60.0 * minutes}});
        const double turned = radians(15.041 / 60.0 * minutes);
        CHECK_RELATIVE(sum_of(film), still_lxs * minutes, 4e-3);  // its mean cosine is 0.9987
        CHECK_WITHIN(middle_px(film).x, 300.0 + 400.0 * std::tan(turned / 2.0), 0.1);
        if (minutes < 20.0) continue;
        double column = 0.0;
        for (int y = 0; y < film.height; ++y) column += luminance_of(film.at(310, y));
        CHECK_RELATIVE(column, still_lxs * minutes / (400.0 * turned), 0.02);  // steps of half
        for (const int x : {297, 338}) CHECK(luminance_of(film.at(x, 200)) == 0.0);
    }
}

TEST_CASE("parts of a film hold the same light") {
    const BrightStar star = white(0.0, 30.0);
    const auto sum = [&](int side) {
        return sum_of(picture_of(camera_to(180.0, 60.0), airless(50.0, {&star, 1}), {{0.0, 600.0}},
                                 Geometry(std::vector<const Mesh*>{}), side));
    };
    CHECK_RELATIVE(sum(3), sum(1), 1e-5);
}

TEST_CASE("the sky turns as the ephemeris has it") {
    const Place place{47.3, 11.4, 600.0, {}};
    constexpr double opens_unix_s = 1795600000.0, later_s = 3.0 * 3600.0;
    StarField at_opening;
    at_opening.latitude_deg = place.latitude_deg;
    at_opening.elevation_m = place.elevation_m;
    at_opening.horizon_from_icrs = horizon_from_icrs(place, opens_unix_s);
    StarField then = at_opening;
    then.horizon_from_icrs = horizon_from_icrs(place, opens_unix_s + later_s);
    const Camera camera = camera_to(120.0, 50.0);
    const Image turned = picture_of(camera, at_opening, {{later_s, later_s + 1.0}});
    const Image stated = picture_of(camera, then, {{0.0, 1.0}});
    REQUIRE(sum_of(stated) > 0.0);
    double apart = 0.0;
    for (int y = 0; y < stated.height; ++y)
        for (int x = 0; x < stated.width; ++x)
            apart += std::abs(luminance_of(turned.at(x, y)) - luminance_of(stated.at(x, y)));
    // A shift of 0.01 pixels moves about as much of the light twice.
    CHECK(apart < 0.02 * sum_of(stated));
}

// Kasten & Young 1989 at 10 and 30 degrees: 5.58604 and 1.99429 airmasses.
TEST_CASE("the air takes its magnitudes by the altitude") {
    struct Row {
        double altitude_deg, airmass;
    };
    for (const Row& row : {Row{10.0, 5.58604}, Row{30.0, 1.99429}}) {
        const BrightStar star = white(0.0, row.altitude_deg);
        StarField field = airless(90.0, {&star, 1});
        const Camera camera = camera_to(180.0, row.altitude_deg);
        const double before = sum_of(picture_of(camera, field));
        field.extinction = {0.2, 0.0};
        const double magnitudes = -2.5 * std::log10(sum_of(picture_of(camera, field)) / before);
        CHECK_RELATIVE(magnitudes, 0.2 * row.airmass, 0.01);  // refraction lifts it by up to 0.09
    }
}

TEST_CASE("low stars are redder, clouds take their share") {
    const BrightStar star = white(0.0, 10.0);
    StarField field = airless(90.0, {&star, 1});
    const Camera camera = camera_to(180.0, 10.0);
    const auto sum_rgb = [&] {
        glm::dvec3 sum(0.0);
        for (const glm::vec3& pixel : picture_of(camera, field).pixels) sum += glm::dvec3(pixel);
        return sum;
    };
    const glm::dvec3 clear = sum_rgb();
    field.clear_share = 0.25;
    CHECK_WITHIN(sum_rgb(), 0.25 * clear, 1e-4 * clear.g);
    field.clear_share = 1.0;
    field.extinction = {0.0, 0.1};
    const glm::dvec3 reddened = sum_rgb();
    CHECK(reddened.r / reddened.b > 1.3 * clear.r / clear.b);
    CHECK_RELATIVE(luminance(reddened), luminance(clear), 1e-4);
}

// Extinction near sea level in clear air: 0.2 to 0.3 magnitudes in V, 0.1 to 0.25 more in B (common
// practice, no source).
TEST_CASE("extinction of the air that the sky is made of") {
    const StarExtinction clear = star_extinction(40.0, 0.0);
    CHECK(clear.v_mag > 0.2);
    CHECK(clear.v_mag < 0.3);
    CHECK(clear.b_v_mag > 0.1);
    CHECK(clear.b_v_mag < 0.25);
    // Higher up there is less gas; the haze is what the visibility there says.
    CHECK(star_extinction(40.0, 2500.0).v_mag < clear.v_mag - 0.02);
    CHECK(star_extinction(150.0, 2500.0).v_mag < clear.v_mag - 0.08);
    CHECK(star_extinction(5.0, 0.0).v_mag > clear.v_mag + 0.5);
}

TEST_CASE("what stands before a star hides it, for as long as it does") {
    const BrightStar star = white(0.0, 0.0);
    const StarField field = airless(0.0, {&star, 1});  // at the zenith, on its way west
    Camera camera = camera_to(0.0, 89.9);
    const TimeWindows times{{0.0, 1200.0}};
    const double free_sum = sum_of(picture_of(camera, field, times));
    const Mesh roof = level_sheet(-20.0, 20.0, 20.0, 10.0);
    CHECK(sum_of(picture_of(camera, field, times, Geometry({&roof}))) == 0.0);
    // East edge of the roof where the star is after ten of its twenty minutes.
    const double edge_m = -10.0 * std::tan(radians(15.041 / 6.0));
    const Mesh western = level_sheet(-20.0, edge_m, 20.0, 10.0);
    CHECK_RELATIVE(sum_of(picture_of(camera, field, times, Geometry({&western}))), 0.5 * free_sum,
                   0.03);  // steps of half a pixel on 35
}

TEST_CASE("stars below the horizon give nothing") {
    const BrightStar star = white(0.0, -2.0);
    CHECK(sum_of(picture_of(camera_to(180.0, 0.0), airless(90.0, {&star, 1}))) == 0.0);
}

TEST_CASE("two halves of the shutter make the whole") {
    StarField field = airless(50.0, bright_stars());
    const Camera camera = camera_to(180.0, 30.0);
    const double whole = sum_of(picture_of(camera, field, {{0.0, 240.0}}));
    CHECK_RELATIVE(sum_of(picture_of(camera, field, {{0.0, 100.0}, {100.0, 240.0}})), whole, 1e-3);
}

TEST_CASE("stars come out alike however many threads ask") {
    const StarField field = airless(50.0, bright_stars());
    const Camera camera = camera_to(180.0, 30.0);
    const Geometry geometry(std::vector<const Mesh*>{});
    const auto picture = [&] {
        return picture_of(camera, field, {{0.0, shutter_s}}, geometry).pixels;
    };
    const auto alone = picture();
    std::vector<FilmBuffer<glm::vec3>> together(4);
    {
        std::vector<std::jthread> threads;
        for (auto& mine : together) threads.emplace_back([&] { mine = picture(); });
    }
    for (const auto& mine : together) CHECK(mine == alone);
}
