// Cautions of light: daylight, a place that may be mistaken, a frame that burns.
#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/cautions/film_estimate.h"
#include "scene/shoot/take_moment.h"
#include "tests/film.h"
#include "tests/unit/scene/cautions/calm_shoot.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// The calm shoot at a local time of a day in June 2026, given as hours of the day.
Shoot in_june(double latitude_deg, double longitude_deg, double hour, int offset_min) {
    Shoot shoot = calm_shoot();
    const double unix_s = midnight_unix_s(2026, 6, 20) + 3600.0 * hour - 60.0 * offset_min;
    shoot.place = Place{latitude_deg, longitude_deg, 0.0, {unix_s, offset_min}};
    return shoot;
}

bool is_said(const Shoot& shoot, const std::string& about, const std::string& words) {
    const auto list = texts(in_boxes(shoot), about);
    return std::ranges::any_of(
        list, [&](const std::string& text) { return text.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("at noon it is no night flight, and the sun is told of") {
    // Solstice on the equinoctial side of 45 deg: the sun stands 90 - 45 + 23.4 deg high at noon.
    const Shoot noon = in_june(45.0, 15.0, 12.0, 60);
    CHECK(is_said(noon, "daylight", "The sun stands 68 deg high as take \"one\" opens"));
    CHECK(is_said(noon, "daylight", "stops over clipping"));
    CHECK(is_said(noon, "daylight", "The end of civil dusk is at 2"));
    CHECK(is_said(noon, "rules", "Flight near people"));
    CHECK_FALSE(mentions(noon, "night"));
    CHECK_FALSE(mentions(noon, "exposure"));
    Shoot both = noon;
    both.takes.push_back(both.takes.front());
    both.takes.back().name = "two";
    both.takes.back().after_s = 11.5 * 3600.0;
    CHECK(mentions(both, "night"));

    const Shoot night = in_june(45.0, 15.0, 23.5, 60);
    CHECK_FALSE(mentions(night, "daylight"));
    CHECK_FALSE(mentions(night, "place"));
    CHECK(is_said(night, "night", "Night flight near people"));
    // Where it stays bright there is no such end.
    CHECK(is_said(in_june(69.65, 18.96, 23.0, 120), "daylight", "does not end there"));
}

TEST_CASE("a stated bright sky is no night either") {
    Shoot shoot = calm_shoot();
    shoot.sky.horizontal_lx = 20000.0;
    CHECK_FALSE(mentions(shoot, "night"));
    CHECK(mentions(shoot, "rules"));
    CHECK(mentions(shoot, "exposure"));
}

TEST_CASE("coordinates that look exchanged") {
    // Half past seven at 7 N 45 E is night; at 45 N 7 E the same instant is a bright afternoon.
    const Shoot exchanged = in_june(45.0, 7.0, 19.5, 180);
    CHECK(is_said(exchanged, "place", "with latitude and longitude exchanged the sun would be"));
    CHECK_FALSE(is_said(exchanged, "place", "the clock"));
    CHECK_FALSE(mentions(in_june(7.0, 45.0, 19.5, 180), "place"));
    // Settings of a day ask for nothing.
    Shoot by_day = exchanged;
    by_day.camera.shutter_s = 1e-4;
    CHECK_FALSE(mentions(by_day, "place"));
}

TEST_CASE("a longitude of the wrong sign, and a clock that does not fit") {
    const Shoot wrong = in_june(45.0, -100.0, 22.0, 7 * 60);
    CHECK(is_said(wrong, "place", "longitude 100"));
    CHECK(is_said(wrong, "place", "with the clock at -07:00"));
    CHECK(warns(wrong, "place", CautionLevel::note, "+07:00, is 10.3 h behind the sun"));
    CHECK_FALSE(mentions(in_june(45.0, 100.0, 22.0, 7 * 60), "place"));
    // Kiritimati, 157.4 W at +14:00, is no stranger to its sun; nor is the far west of China.
    CHECK_FALSE(mentions(in_june(1.9, -157.4, 22.0, 14 * 60), "place"));
    CHECK_FALSE(mentions(in_june(39.5, 76.0, 23.9, 8 * 60), "place"));
}

TEST_CASE("an even sky over clipping: q E / pi t / N^2 over 78 / S") {
    Shoot shoot = calm_shoot();
    shoot.camera.iso = 100.0;
    shoot.camera.f_number = 8.0;
    shoot.camera.shutter_s = 10.0;
    shoot.sky.horizontal_lx = 200.0;
    const double q = lens_factor(shoot.camera.lens.transmission, 1.0);
    const double exposure_lxs = q * 200.0 / pi * 10.0 / 64.0;
    CHECK_WITHIN(sky_stops_over(shoot, shoot.takes.front()),
                 std::log2(exposure_lxs / clipping_lxs(shoot.camera, 100.0)), 1e-9);
}

TEST_CASE("a third of the frame burnt by the sky is told of, with the stops that bring it back") {
    Shoot shoot = calm_shoot();
    shoot.camera.focal_mm = 300.0;  // hardly any falloff, and nothing but sky
    CHECK_FALSE(mentions(shoot, "exposure"));
    const double over = sky_stops_over(shoot, shoot.takes.front());
    shoot.sky.horizontal_lx *= std::exp2(1.5 - over);
    CHECK(is_said(shoot, "exposure", "100 % of the frame burns out"));
    CHECK(is_said(shoot, "exposure", "the sky lies 1.5 stops over clipping"));
    CHECK(is_said(shoot, "exposure", "2 stops less exposure would bring it back"));
    shoot.sky.horizontal_lx *= 0.25;
    CHECK_FALSE(mentions(shoot, "exposure"));
}

TEST_CASE("ground that lamps burn is told of as lit ground") {
    PlacedShoot shoot = dark_shoot({60, 40});
    shoot.camera.position_m = {0.0, -6.0, 8.0};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 0.0);
    shoot.camera.shutter_s = 20.0;
    Flight flight;
    flight.name = "round";
    flight.height_m = 9.0;
    flight.lap_s = 20.0;
    fly(shoot, bare_lamp("warm", 100.0), flight);
    CHECK(texts(shoot, "exposure").empty());
    shoot.lamps.front().flux_lm *= 1000.0;
    const auto said = texts(shoot, "exposure");
    REQUIRE(said.size() == 1);
    CAPTURE(said.front());
    CHECK(said.front().find("the lit ground lies") != std::string::npos);
    CHECK(said.front().find("weaker would bring it back") != std::string::npos);
}
