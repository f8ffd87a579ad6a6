// Sky and ground minute by minute against arithmetic by hand, under skies made up for the purpose.
#include "scene/planning/dusk.h"

#include <cmath>

#include "scene/basics/angle.h"
#include "scene/shoot/take_moment.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

PlacedShoot alpine_dusk() {
    PlacedShoot shoot;
    shoot.place = Place{45.0, 7.0, 0.0, {1731515340.0, 60}};  // 2024-11-13 17:29 +01:00
    shoot.camera.f_number = 8.0;
    shoot.camera.iso = 400.0;
    shoot.camera.shutter_s = 10.0;
    shoot.camera.lens.transmission = 1.0;
    shoot.ground.reflectance = Rgb(0.25);
    shoot.takes.emplace_back();
    shoot.takes.back().name = "first";
    return shoot;
}

/// An even sky of E / pi, on the axis of a lens that passes all light.
SkyOnFilm even_sky(const PlacedShoot& shoot) {
    return [&shoot](double unix_s) {
        return lens_factor(1.0, 1.0) / pi * horizontal_lx(night_sky(shoot, unix_s));
    };
}

Dusk dusk_under(const PlacedShoot& shoot, const SkyOnFilm& sky) {
    const Take& take = shoot.takes.front();
    return dusk_of(shoot, take, dusk_span(shoot, take), sky);
}

Dusk dusk_of_even_sky(const PlacedShoot& shoot) {
    return dusk_under(shoot, even_sky(shoot));
}

}  // namespace

TEST_CASE("Dusk by the minute: light, stops and the shutter that holds the sky") {
    const PlacedShoot shoot = alpine_dusk();
    const Dusk dusk = dusk_of_even_sky(shoot);
    REQUIRE(dusk.minutes.size() > 100);
    CHECK(dusk.minutes.size() < 140);
    double last_lx = 1e9;
    for (std::size_t i = 0; i < dusk.minutes.size(); ++i) {
        const DuskMinute& minute = dusk.minutes[i];
        CHECK(std::fmod(minute.unix_s, 60.0) == 0.0);
        if (i > 0) CHECK(minute.unix_s == dusk.minutes[i - 1].unix_s + 60.0);
        // The moon, 93 % lit, climbs and takes over once the sun is 10 deg down.
        if (minute.sun_altitude_deg > -9.0) CHECK(minute.horizontal_lx < last_lx);
        last_lx = minute.horizontal_lx;
        // q = (pi/4) 0.98 (ISO 12232); H = q E / pi t / N^2, over 10 / 400 lx s.
        CHECK_WITHIN(minute.sky_stops, std::log2(0.245 * minute.horizontal_lx * 10.0 / 64.0 * 40.0),
                     1e-9);
        // With the wanted shutter the sky is where it is wanted.
        CHECK_WITHIN(minute.sky_stops + std::log2(minute.wanted_shutter_s / 10.0), -1.5, 1e-9);
    }
    CHECK(dusk.minutes.front().sun_altitude_deg > 1.5);
    CHECK(dusk.minutes.back().sun_altitude_deg < -18.0);
    // At 16:29 UTC, by astropy 5.2.1.
    for (const DuskMinute& minute : dusk.minutes)
        if (minute.unix_s == 1731515340.0) CHECK_WITHIN(minute.sun_altitude_deg, -4.773498, 0.002);
}

TEST_CASE("The window: half a stop to either side of the wanted") {
    PlacedShoot shoot = alpine_dusk();
    const Dusk dusk = dusk_of_even_sky(shoot);
    REQUIRE(dusk.windows.size() == 1);
    REQUIRE(dusk.windows[0].to_s);
    for (const DuskMinute& minute : dusk.minutes) {
        const bool inside =
            minute.unix_s >= dusk.windows[0].from_s && minute.unix_s < *dusk.windows[0].to_s;
        CHECK(inside == (std::abs(minute.sky_stops + 1.5) <= 0.5));
    }
    // Without much of the moon: from -6 to -8 deg, 718 s by the table of the evening's hours, light
    // falls from 3.41 to 0.348 lx, 3.3 stops, so that a stop lasts some 218 s.
    shoot.camera.shutter_s = 1.0;
    const Dusk brief = dusk_of_even_sky(shoot);
    REQUIRE(brief.windows.size() == 1);
    CHECK_WITHIN(*brief.windows[0].to_s - brief.windows[0].from_s, 218.0, 35.0);
    // A stop more of shutter comes to the same sky later.
    shoot.camera.shutter_s = 20.0;
    CHECK(dusk_of_even_sky(shoot).windows[0].from_s > dusk.windows[0].from_s + 60.0);
    shoot.sky.want_stops = 5.0;
    CHECK(dusk_of_even_sky(shoot).windows[0].from_s < dusk.windows[0].from_s);
}

TEST_CASE("No window: how near the sky comes, and when") {
    PlacedShoot shoot = alpine_dusk();
    shoot.camera.shutter_s = 1e-4;
    const Dusk dark = dusk_of_even_sky(shoot);
    CHECK(dark.windows.empty());
    CHECK(dark.nearest.unix_s == dark.minutes.front().unix_s);  // the brightest minute there is
    CHECK(dark.nearest.sky_stops < -2.0);
    CHECK_WITHIN(std::log2(dark.nearest.wanted_shutter_s / 1e-4), -1.5 - dark.nearest.sky_stops,
                 1e-9);
}

TEST_CASE("Every window is told: a sky that falls, rises with the moon, and falls again") {
    const PlacedShoot shoot = alpine_dusk();
    const DuskSpan span = dusk_span(shoot, shoot.takes.front());
    // Stops in a triangle wave of 50 min about the wanted -1.5: 0.08 stops a minute.
    const auto stops_at = [&](double unix_s) {
        const double share = std::fmod((unix_s - span.from_s) / 3000.0, 1.0);
        return -1.5 + 2.0 * (std::abs(2.0 * share - 1.0) * 2.0 - 1.0);
    };
    const Dusk dusk = dusk_under(shoot, [&](double unix_s) {
        return std::exp2(stops_at(unix_s)) * (10.0 / 400.0) * 64.0 / 10.0;
    });
    // It crosses the 1 stop about the wanted twice a wave, at 562.5 to 937.5 s and 2062.5 to
    // 2437.5.
    const auto waves = (span.to_s - span.from_s) / 3000.0;
    CHECK_WITHIN(static_cast<double>(dusk.windows.size()), 2.0 * waves, 1.0);
    for (std::size_t i = 0; i + 1 < dusk.windows.size(); ++i) {
        const double begins_s = 3000.0 * static_cast<double>(i / 2) + (i % 2 == 0 ? 562.5 : 2062.5);
        CHECK_WITHIN(dusk.windows[i].from_s - span.from_s, begins_s, 1.0);
        REQUIRE(dusk.windows[i].to_s);
        CHECK_WITHIN(*dusk.windows[i].to_s - dusk.windows[i].from_s, 375.0, 1.0);
    }
}

TEST_CASE("A window without an end lasts to the last minute") {
    const PlacedShoot shoot = alpine_dusk();
    const Dusk dusk =
        dusk_under(shoot, [](double) { return std::exp2(-1.5) * (10.0 / 400.0) * 64.0 / 10.0; });
    REQUIRE(dusk.windows.size() == 1);
    CHECK(dusk.windows[0].from_s == dusk.minutes.front().unix_s);
    CHECK_FALSE(dusk.windows[0].to_s);
}

TEST_CASE("Dusk where the sun does not set, or does not rise") {
    PlacedShoot shoot = alpine_dusk();
    shoot.place = Place{69.65, 18.96, 0.0, {1782072000.0, 120}};  // 2026-06-21 20:00 UTC
    const Dusk june = dusk_of_even_sky(shoot);
    CHECK_WITHIN(static_cast<double>(june.minutes.size()), 241.0, 2.0);
    CHECK(june.minutes.back().sun_altitude_deg > 2.0);
    shoot.place->when.unix_s += 183.0 * 86400.0;  // 2026-12-21
    const Dusk december = dusk_of_even_sky(shoot);
    CHECK(december.minutes.front().sun_altitude_deg < -2.0);
    CHECK(december.minutes.back().sun_altitude_deg < -18.0);
}

TEST_CASE("A moment past the middle of the night is of the morning") {
    PlacedShoot shoot = alpine_dusk();
    shoot.place->when.unix_s = midnight_unix_s(2024, 11, 14) + 5.25 * 3600.0;  // 06:15 +01:00
    const Dusk dusk = dusk_of_even_sky(shoot);
    CHECK_WITHIN(dusk.minutes.front().sun_altitude_deg, -18.0, 0.2);
    CHECK_WITHIN(dusk.minutes.back().sun_altitude_deg, 2.3, 0.4);
    CHECK(dusk.minutes.size() < 140);
    REQUIRE(dusk.span.evening.morning.size() == 6);
    for (const SunPassage& passage : dusk.span.evening.morning) {
        CHECK(passage.passing == Passing::climbs_through);
        CHECK(passage.unix_s > dusk.span.from_s);
        CHECK(passage.unix_s < dusk.span.to_s);
    }
}

TEST_CASE("Every take opens within what is told, under its own sky and at its own settings") {
    PlacedShoot shoot = alpine_dusk();
    Take late = shoot.takes.front();
    late.name = "late";
    late.after_s = 4.0 * 3600.0;
    late.iso = 1600.0;
    shoot.takes.push_back(late);
    const Dusk dusk = dusk_of_even_sky(shoot);
    CHECK(dusk.minutes.back().unix_s >= shoot.place->when.unix_s + 4.0 * 3600.0 + 600.0);
    REQUIRE(dusk.takes.size() == 2);
    CHECK(dusk.takes[0].opens.unix_s == shoot.place->when.unix_s);
    CHECK(dusk.takes[1].opens.unix_s == shoot.place->when.unix_s + 4.0 * 3600.0);
    for (const DuskMinute& minute : dusk.minutes)
        if (std::abs(minute.unix_s - dusk.takes[1].opens.unix_s) < 1.0)
            CHECK_WITHIN(dusk.takes[1].opens.sky_stops, minute.sky_stops + 2.0, 1e-6);
}

TEST_CASE("Ground without lamps: reflectance times E / pi, at its place on the film") {
    PlacedShoot shoot = alpine_dusk();
    shoot.camera.position_m = {0.0, 0.0, 10.0};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 0.0);  // straight down: its middle is on the axis
    const Dusk dusk = dusk_of_even_sky(shoot);
    CHECK_FALSE(dusk.has_lamps);
    CHECK_WITHIN(dusk.ground.place_m, Vec2(0.0), 1e-6);
    for (const DuskMinute& minute : dusk.minutes) {
        CHECK_WITHIN(minute.ground_stops, minute.sky_stops - 2.0, 1e-9);  // a quarter
        CHECK(minute.lit_ground_stops == minute.ground_stops);
    }
    CHECK(dusk.alike_s.empty());
}

TEST_CASE("Ground under a bare lamp that stands, and when the sky comes down to it") {
    PlacedShoot shoot = alpine_dusk();
    shoot.camera.position_m = {0.0, 0.0, 30.0};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 0.0);
    Lamp lamp;
    lamp.name = "post";
    lamp.flux_lm = 4.0 * pi * 100.0;  // 100 cd all round
    lamp.beam_deg = 360.0;
    lamp.spill = 0.0;
    lamp.position_m = Vec3(2.0, 1.0, 20.0);
    shoot.lamps.push_back(lamp);
    const Dusk dusk = dusk_of_even_sky(shoot);
    REQUIRE(dusk.has_lamps);
    // Under the lamp light falls off as 1 - 3/2 (d/20)^2, on the film from the axis as
    // 1 - 2 (r/30)^2: brightest at a share (3/400) / (3/400 + 4/900) of the way to the lamp.
    CHECK_WITHIN(dusk.ground.place_m, 0.628 * Vec2(2.0, 1.0), 0.15);
    // E = I / h^2 for 10 s, within what a square metre and the lens's falloff make of it.
    CHECK_RELATIVE(dusk.ground.lamps_cd_s_m2, 0.25 / pi * 100.0 / 400.0 * 10.0, 0.003);
    const double lit_by_lamp_lx = 0.25;
    for (const DuskMinute& minute : dusk.minutes)
        CHECK_WITHIN(minute.lit_ground_stops - minute.ground_stops,
                     std::log2(1.0 + lit_by_lamp_lx / minute.horizontal_lx), 0.01);
    // Alike when E = (E + 0.25) / 4: at 0.083 lx but for the falloff.
    REQUIRE(!dusk.alike_s.empty());
    CHECK_RELATIVE(horizontal_lx(night_sky(shoot, dusk.alike_s[0])), 0.25 / 3.0, 0.03);
}

TEST_CASE("Stars draw out with the shutter that holds the sky") {
    PlacedShoot shoot = alpine_dusk();
    shoot.camera.bearing_deg = 180.0;
    shoot.camera.tilt_deg = 45.0;  // the celestial equator stands due south at 90 - 45 deg
    shoot.camera.focal_mm = 24.0;  // pixels of 6 um
    const Dusk dusk = dusk_of_even_sky(shoot);
    CHECK_RELATIVE(dusk.star_trail_px, 10.0 * 0.29168, 1e-4);  // 15.041 arc seconds a second
    for (const DuskMinute& minute : dusk.minutes)
        if (minute.wanted_shutter_s < 3600.0)
            CHECK_RELATIVE(minute.star_trail_px, minute.wanted_shutter_s * 0.29168, 1e-4);
}
