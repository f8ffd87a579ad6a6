// A place and its moment: how they are written, read and obeyed.
#include "scene/sky/night_sky.h"

#include "scene/basics/angle.h"
#include "scene/reader/read_shoot.h"
#include "scene/shoot/take_moment.h"
#include "scene/sky/celestial.h"
#include "scene/sky/natural_light.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

const std::string rest =
    "[camera]\n[[lamp]]\nname = \"post\"\nposition_m = [0, 0, 1]\n"
    "[[take]]\nname = \"one\"\n[[take]]\nname = \"two\"\nafter_s = 1500\n";

Shoot read(const std::string& text, const std::vector<Override>& overrides = {}) {
    const Checked<Shoot> read = read_shoot(text + rest, "place.toml", overrides);
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read)) {
        for (const Problem& problem : *problems) FAIL_CHECK(to_string(problem));
        return {};
    }
    return std::get<Shoot>(read);
}

// Dusk in the Alps: at 16:29 UTC the sun stands at -4.7735 deg (see celestial_test.cpp).
const std::string dusk =
    "[place]\nlatitude_deg = 45\nlongitude_deg = 7\nwhen = 2024-11-13T17:29:00+01:00\n";

}  // namespace

TEST_CASE("Times are told to the nearest minute, offsets as a date-time ends with them") {
    CHECK(minute_text({1731515339.6, -570}) == "06:59");
    CHECK(minute_text({1731515371.0, -570}) == "07:00");
    CHECK(minute_text({1731456030.0, 0}) == "00:01");
    CHECK(minute_text({1731455999.0, 0}) == "00:00");
    CHECK(offset_text(60) == "+01:00");
    CHECK(offset_text(-570) == "-09:30");
}

TEST_CASE("A moment is an instant and the offset it was written with") {
    const Shoot shoot = read(dusk);
    REQUIRE(shoot.place);
    CHECK(shoot.place->when == Moment{1731515340.0, 60});
    CHECK(date_time_text(shoot.place->when) == "2024-11-13T17:29:00+01:00");
    CHECK(clock_text({1731515339.6, -570}) == "06:59:00");
    CHECK(date_time_text({1731515340.0, -570}) == "2024-11-13T06:59:00-09:30");
    CHECK(year_of({midnight_unix_s(2100, 1, 1) - 1.0, 0}) == 2099);
    CHECK(year_of({midnight_unix_s(2100, 1, 1) - 1.0, 1}) == 2100);
    CHECK(midnight_unix_s(1960, 1, 1) == -315619200.0);
    const Shoot other = read(dusk, {{"place.when", "2026-02-28T00:10:30.5-08:00"}});
    CHECK(other.place->when.unix_s == midnight_unix_s(2026, 2, 28) + 8 * 3600 + 630.5);
}

TEST_CASE("With a place the moment sets the sky, and after_s moves a take on") {
    const Shoot shoot = read(dusk);
    const auto sky_of = [&](const Take& take) {
        return night_sky(shoot, moment_of(shoot, take).unix_s);
    };
    const NightSky first = sky_of(shoot.takes[0]);
    const MoonSeen moon = moon_seen(*shoot.place, 1731515340.0);
    const double by_hand_lx =
        sun_alone_lx(-4.773498) + moon_lx(18.87223, 149.149, moon.distance_km) + night_lx(21.5);
    CHECK_RELATIVE(horizontal_lx(first), by_hand_lx, 0.005);
    CHECK_WITHIN(degrees(bearing_of(first.sun.direction)), 248.8952, 0.01);
    // 25 minutes later some 4 degrees deeper: a hundredth of the light.
    CHECK(horizontal_lx(sky_of(shoot.takes[1])) < 0.05 * horizontal_lx(first));
    CHECK(moment_of(shoot, shoot.takes[1]) == Moment{1731515340.0 + 1500.0, 60});
}

TEST_CASE("A long exposure gathers the light of a fading dusk") {
    Shoot shoot = read(dusk);
    const auto all = [](const NightSky& night) { return horizontal_lx(night); };
    const double opens_s = shoot.place->when.unix_s + 600.0;
    const double first_lx = all(night_sky(shoot, opens_s));
    // A minute or two: trapezium of many steps.
    const auto slowly = [&](double from_s, double to_s) {
        constexpr int steps = 600;
        double sum = 0.0;
        for (int i = 0; i <= steps; ++i)
            sum += (i == 0 || i == steps ? 0.5 : 1.0) *
                   all(night_sky(shoot, opens_s + std::lerp(from_s, to_s, i / double(steps))));
        return sum * (to_s - from_s) / steps / first_lx;
    };
    CHECK_RELATIVE(as_at_opening_s(shoot, 600.0, {{0.0, 20.0}}, all), slowly(0.0, 20.0), 1e-4);
    const double long_s = as_at_opening_s(shoot, 600.0, {{0.0, 300.0}, {500.0, 900.0}}, all);
    CHECK_RELATIVE(long_s, slowly(0.0, 300.0) + slowly(500.0, 900.0), 1e-4);
    CHECK(long_s < 0.5 * 700.0);
    CHECK(as_at_opening_s(shoot, 0.0, {{0.0, 20.0}}, [](const NightSky&) { return 0.0; }) == 20.0);
}

TEST_CASE("Town, clouds and the night's brightness are obeyed") {
    const std::string night =
        "[place]\nlatitude_deg = 45\nlongitude_deg = 7\nwhen = 2026-02-17T23:00:00+01:00\n";
    const auto lx = [&](const std::vector<Override>& overrides) {
        const Shoot shoot = read(night, overrides);
        return horizontal_lx(night_sky(shoot, shoot.place->when.unix_s));
    };
    // A new moon, far below the horizon as is the sun.
    CHECK_RELATIVE(lx({}), night_lx(21.5), 1e-6);
    CHECK_RELATIVE(lx({{"sky.night_mag_arcsec2", "19"}}), 10.0 * lx({}), 1e-6);  // 2.5 mag
    CHECK_RELATIVE(lx({{"sky.cloud_share", "1"}}), 0.25 * lx({}), 1e-6);
    CHECK_RELATIVE(lx({{"sky.town", "{ bearing_deg = 90, horizontal_lx = 0.02 }"}}), lx({}) + 0.02,
                   1e-6);
}

TEST_CASE("Bodies of a night sky: refracted direction, airless altitude") {
    const Shoot shoot = read(dusk);
    const NightSky sky = night_sky(shoot, 1731528000.0);
    CHECK_WITHIN(sky.moon.altitude_deg, 50.59291, 0.004);
    // astropy 5.2.1 at 1010 hPa and 10 C: 50.60615 deg.
    CHECK_WITHIN(degrees(std::asin(sky.moon.direction.z)), 50.60615, 0.004);
    CHECK_WITHIN(degrees(bearing_of(sky.moon.direction)), 146.768, 0.006);
    CHECK_WITHIN(glm::length(sky.sun.direction), 1.0, 1e-12);
    CHECK_WITHIN(sky.moon_lit, 0.9383417, 0.0005);
    CHECK(sky.sun.clear_lx == 0.0);  // 41 deg down
    CHECK_FALSE(sky.town);
}
