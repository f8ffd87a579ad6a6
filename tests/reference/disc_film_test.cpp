// Sun and moon on film: the light of a disc, its phase, its way over the sky, and the horizon.
#include "renderer/trails/disc_trails.h"

#include <algorithm>
#include <cmath>

#include "renderer/sky/sky.h"
#include "scene/basics/angle.h"
#include "scene/shoot/take_moment.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

bool on_lit_part(double lit, const glm::dvec2& place) {
    if (glm::dot(place, place) >= 1.0) return false;
    return place.x >= (1.0 - 2.0 * lit) * std::sqrt(1.0 - place.y * place.y);
}

SunMoonDisc disc_at(double altitude_deg) {
    SunMoonDisc disc;
    disc.direction = glm::vec3(direction_of(0.0, radians(altitude_deg)));
    disc.normal_lx = {0.3f, 0.2f, 0.1f};
    disc.radius_rad = static_cast<float>(radians(0.26));
    disc.bright_limb = {1.0f, 0.0f, 0.0f};
    return disc;
}

/// Looks north with a long lens; a part of the film is a fortieth of a degree or less.
Camera tele(double tilt_deg) {
    Camera camera;
    camera.pixels = {240, 160};
    camera.position_m = {0.0, 0.0, 1.5};
    camera.bearing_deg = 0.0;
    camera.tilt_deg = tilt_deg;
    camera.focal_mm = 400.0;
    return camera;
}

struct OnFilm {
    glm::dvec3 lx_s;     ///< on a plane that faces the light, over time
    double left, right;  ///< columns that light reached
    double top, bottom;
};

/// Back from the film to the light that a disc sent: H N^2 / q over the solid angle of each pixel.
OnFilm read_disc(const Camera& camera, const ExposureSettings& settings, const Geometry& geometry,
                 const std::vector<DiscLeg>& legs, int side = 4) {
    TrailFilm film(camera.pixels.x, camera.pixels.y, side);
    add_disc_trail(camera, settings, geometry, legs, film);
    const Projection projection(camera);
    const Vec2 pitch = pixel_pitch_mm(camera) / camera.focal_mm;
    OnFilm found{glm::dvec3(0.0), 1e9, -1e9, 1e9, -1e9};
    for (const TrailPixel& pixel : film.pixels()) {
        const double cosine = projection.cos_off_axis({pixel.x + 0.5, pixel.y + 0.5});
        const double q = lens_factor(camera.lens.transmission, cosine);
        found.lx_s += glm::dvec3(pixel.mean_lxs) * settings.f_number * settings.f_number / q *
                      pitch.x * pitch.y * cosine * cosine * cosine;
        found.left = std::min(found.left, static_cast<double>(pixel.x));
        found.right = std::max(found.right, pixel.x + 1.0);
        found.top = std::min(found.top, static_cast<double>(pixel.y));
        found.bottom = std::max(found.bottom, pixel.y + 1.0);
    }
    return found;
}

const ExposureSettings at_f8{.shutter_s = 10.0, .f_number = 8.0, .iso = 100.0};

}  // namespace

TEST_CASE("the lit part of a moving disc covers a point for the share of steps that it does") {
    constexpr int steps = 20000;
    for (const double lit : {0.03, 0.3, 0.5, 0.8, 1.0})
        for (const glm::dvec2 from : {glm::dvec2(0.4, -0.2), glm::dvec2(-1.5, 0.3),
                                      glm::dvec2(0.1, 0.9), glm::dvec2(-0.6, -0.5)})
            for (const glm::dvec2 way : {glm::dvec2(0.0, 0.0), glm::dvec2(2.5, 0.4),
                                         glm::dvec2(-0.7, -0.3), glm::dvec2(0.0, 1.2)}) {
                int covered = 0;
                for (int i = 0; i < steps; ++i)
                    covered += on_lit_part(lit, from + (i + 0.5) / steps * way);
                CHECK_WITHIN(lit_share(lit, from, from + way), static_cast<double>(covered) / steps,
                             2e-4);
            }
}

TEST_CASE("the part of a disc above the horizon by its mean sine") {
    constexpr double radius = 0.0047;
    constexpr int side = 2000;
    for (const double height : {-1.1, -0.7, 0.0, 0.4, 1.0, 3.0}) {
        double sum = 0.0;
        int within = 0;
        for (int i = 0; i < side; ++i)
            for (int j = 0; j < side; ++j) {
                const glm::dvec2 place = glm::dvec2(2 * i + 1, 2 * j + 1) / double(side) - 1.0;
                if (glm::dot(place, place) >= 1.0) continue;
                ++within;
                sum += std::max(0.0, height + place.y) * radius;
            }
        CHECK_WITHIN(mean_sine_above(height * radius, radius), sum / within, 1e-5 * radius);
    }
    CHECK_RELATIVE(mean_sine_above(0.0, radius), 2.0 / (3.0 * pi) * radius, 1e-9);
}

TEST_CASE("a disc's light on film is what it lays on a plane, still or moving, of any phase") {
    const Geometry nothing(std::vector<const Mesh*>{});
    const Camera camera = tele(30.0);
    for (const double lit : {0.1, 0.5, 0.9, 1.0})
        for (const double way_deg : {0.0, 0.4, 1.5}) {
            DiscLeg leg{disc_at(30.0), {}, 10.0};
            leg.disc.lit = static_cast<float>(lit);
            leg.disc.flattening = 0.9f;
            leg.to = glm::vec3(direction_of(radians(way_deg), radians(30.0)));
            const OnFilm seen = read_disc(camera, at_f8, nothing, {leg});
            // The parts' edges leave a thousandth; a thin crescent is six of them wide.
            CHECK_RELATIVE(seen.lx_s.g, 2.0, lit < 0.2 ? 0.01 : 0.003);
            CHECK_RELATIVE(seen.lx_s.r / seen.lx_s.b, 3.0, 1e-4);
        }
}

TEST_CASE(
    "a disc that moves leaves a smear as long as its way, and stands as high as refraction lets") {
    const Geometry nothing(std::vector<const Mesh*>{});
    const Camera camera = tele(5.0);
    const double deg_px = degrees(pixel_pitch_mm(camera).x / camera.focal_mm);
    DiscLeg leg{disc_at(5.0), {}, 10.0};
    leg.disc.flattening = 0.85f;
    leg.to = leg.disc.direction;
    const OnFilm still = read_disc(camera, at_f8, nothing, {leg});
    CHECK_WITHIN((still.right - still.left) * deg_px, 0.52, 2.0 * deg_px);
    CHECK_WITHIN((still.bottom - still.top) * deg_px, 0.85 * 0.52, 2.0 * deg_px);
    leg.to = glm::vec3(direction_of(radians(0.5), radians(5.0)));
    const OnFilm moved = read_disc(camera, at_f8, nothing, {leg});
    CHECK_WITHIN((moved.right - moved.left) * deg_px, 0.52 + 0.5 * std::cos(radians(5.0)),
                 2.0 * deg_px);
    // In two legs as in one.
    DiscLeg half = leg, rest = leg;
    half.lasts_s = rest.lasts_s = 5.0;
    half.to = rest.disc.direction = glm::normalize(leg.disc.direction + leg.to);
    const OnFilm halves = read_disc(camera, at_f8, nothing, {half, rest});
    CHECK_RELATIVE(halves.lx_s.g, moved.lx_s.g, 0.002);
}

TEST_CASE("of a disc on the horizon the half above it is seen, and lights") {
    const Geometry nothing(std::vector<const Mesh*>{});
    const DiscLeg leg{disc_at(0.0), disc_at(0.0).direction, 10.0};
    CHECK_RELATIVE(read_disc(tele(0.0), at_f8, nothing, {leg}).lx_s.g, 1.0, 0.01);
    NightSky night;
    night.night_mag_arcsec2 = 40.0;
    night.sun.clear_lx = 700.0;
    for (const double altitude_deg : {-0.4, -0.2, -0.05, 0.05, 0.2, 0.4}) {
        night.sun.altitude_deg = altitude_deg - 0.5;
        night.sun.direction = direction_of(0.0, radians(altitude_deg));
        CHECK(Sky(night).direct().size() == (altitude_deg > -0.266 ? 1u : 0u));
    }
}

// The mean lunar day is 24 h 50.5 min: 14.49 degrees an hour to the west, along its parallel. From
// the Earth's surface and at its changing speed a few hundredths more or less.
TEST_CASE("the moon goes its way at its own rate; the sun is flat as it sets") {
    Shoot shoot;
    shoot.place = Place{};
    shoot.place->latitude_deg = 45.0;
    shoot.place->longitude_deg = 7.0;
    shoot.place->when.unix_s = 1731528000.0;  // 2024-11-13 20:00 UTC: moon 51 deg up
    const NightSky night = night_sky(shoot, shoot.place->when.unix_s);
    const Sky sky(night);
    REQUIRE(sky.direct().size() == 1);
    const std::vector<DiscLeg> legs =
        disc_legs(shoot, sky.direct().front(), 0.0, {{0.0, 300.0}, {400.0, 500.0}});
    REQUIRE(legs.size() == 4);
    const glm::dvec3 pole(0.0, std::cos(radians(45.0)), std::sin(radians(45.0)));
    double open_s = 0.0;
    for (const DiscLeg& leg : legs) {
        open_s += leg.lasts_s;
        const double parallel = glm::length(glm::cross(pole, glm::dvec3(leg.disc.direction)));
        const double way_deg = degrees(
            std::acos(std::min(1.0, glm::dot(glm::dvec3(leg.disc.direction), glm::dvec3(leg.to)))));
        CHECK_RELATIVE(way_deg / parallel / leg.lasts_s * 3600.0, 14.49, 0.03);
    }
    CHECK_WITHIN(open_s, 400.0, 1e-9);

    // By about a sixth at the horizon (from memory); high up hardly.
    CHECK(night.moon.flattening > 0.999);
    shoot.place->when.unix_s = 1731513886.0;  // sunset, 16:04:46 UTC
    CHECK_WITHIN(night_sky(shoot, shoot.place->when.unix_s).sun.flattening, 0.83, 0.04);
}
