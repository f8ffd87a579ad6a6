// The sky minute by minute against arithmetic by hand.
#include "scene/dusk.h"

#include <cmath>

#include "scene/natural_light.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Shoot alpine_dusk() {
    Shoot shoot;
    shoot.place = Place{45.0, 7.0, 0.0, {1731515340.0, 60}};  // 2024-11-13 17:29 +01:00
    shoot.camera.f_number = 8.0;
    shoot.camera.iso = 400.0;
    shoot.camera.shutter_s = 10.0;
    shoot.camera.lens.transmission = 1.0;
    shoot.takes.emplace_back();
    return shoot;
}

}  // namespace

TEST_CASE("Stops of a sky of E / pi, worked by hand") {
    // q = (pi/4) 0.98 (ISO 12232); H = q E / pi t / N^2 = 0.245 * 4 * 10 / 64 lx s, over 10 / 400.
    CHECK_WITHIN(sky_stops(4.0, 1.0, {10.0, 8.0, 400.0}), std::log2(0.245 * 40.0 / 64.0 * 40.0),
                 1e-12);
}

TEST_CASE("Dusk by the minute: light, stops and the shutter that holds the sky") {
    const Shoot shoot = alpine_dusk();
    const Dusk dusk = dusk_of(shoot, shoot.takes[0]);
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
        // With that shutter the sky is where it is wanted.
        CHECK_WITHIN(sky_stops(minute.horizontal_lx, 1.0, {minute.wanted_shutter_s, 8.0, 400.0}),
                     -1.5, 1e-9);
    }
    CHECK(dusk.minutes.front().sun_altitude_deg > 1.5);
    CHECK(dusk.minutes.back().sun_altitude_deg < -18.0);
    // At 16:29 UTC, by astropy 5.2.1.
    for (const DuskMinute& minute : dusk.minutes)
        if (minute.unix_s == 1731515340.0) CHECK_WITHIN(minute.sun_altitude_deg, -4.773498, 0.002);
}

TEST_CASE("The window: half a stop to either side of the wanted") {
    Shoot shoot = alpine_dusk();
    const Dusk dusk = dusk_of(shoot, shoot.takes[0]);
    REQUIRE(dusk.window);
    REQUIRE(dusk.window->to_s);
    for (const DuskMinute& minute : dusk.minutes) {
        const bool inside =
            minute.unix_s >= dusk.window->from_s && minute.unix_s < *dusk.window->to_s;
        CHECK(inside == (std::abs(minute.sky_stops + 1.5) <= 0.5));
    }
    // Without much of the moon: from -6 to -8 deg, 718 s by the table of the evening's hours, light
    // falls from 3.41 to 0.348 lx, 3.3 stops, so that a stop lasts some 218 s.
    shoot.camera.shutter_s = 1.0;
    const Dusk brief = dusk_of(shoot, shoot.takes[0]);
    CHECK_WITHIN(*brief.window->to_s - brief.window->from_s, 218.0, 35.0);
    // A stop more of shutter comes to the same sky later.
    shoot.camera.shutter_s = 20.0;
    CHECK(dusk_of(shoot, shoot.takes[0]).window->from_s > dusk.window->from_s + 60.0);
    shoot.sky.want_stops = 5.0;
    CHECK(dusk_of(shoot, shoot.takes[0]).window->from_s < dusk.window->from_s);
    shoot.camera.shutter_s = 1e-4;
    CHECK_FALSE(dusk_of(shoot, shoot.takes[0]).window);
}

TEST_CASE("Dusk where the sun does not set, or does not rise") {
    Shoot shoot = alpine_dusk();
    shoot.place = Place{69.65, 18.96, 0.0, {1782072000.0, 120}};  // 2026-06-21 20:00 UTC
    const Dusk june = dusk_of(shoot, shoot.takes[0]);
    CHECK_WITHIN(static_cast<double>(june.minutes.size()), 241.0, 2.0);
    CHECK(june.minutes.back().sun_altitude_deg > 2.0);
    shoot.place->when.unix_s += 183.0 * 86400.0;  // 2026-12-21
    const Dusk december = dusk_of(shoot, shoot.takes[0]);
    CHECK(december.minutes.front().sun_altitude_deg < -2.0);
    CHECK(december.minutes.back().sun_altitude_deg < -18.0);
}
