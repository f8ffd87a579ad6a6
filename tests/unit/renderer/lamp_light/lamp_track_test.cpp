#include "renderer/lamp_light/lamp_track.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/shoot/lit_lamp.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

PlacedShoot flown(const Lamp& lamp) {
    PlacedShoot shoot = dark_shoot({8, 8});
    Flight flight;
    flight.height_m = 9.0;
    flight.lap_s = 15.0;
    fly(shoot, lamp, flight);
    return shoot;
}

LitLamp first_lit(const Shoot& shoot) {
    return lit_lamps(shoot, shoot.takes.front()).front();
}

}  // namespace

TEST_CASE("a track is where the flight is, and points where it aims") {
    Lamp lamp = lobe_lamp("lamp", 100.0, 4.0);
    lamp.aim = AimWord::centre;
    const Shoot shoot = flown(lamp);
    const LitLamp lit = first_lit(shoot);
    const LampTrack track(lit, {});
    CHECK(track.moves());
    CHECK_WITHIN(static_cast<double>(track.lit_s()), 15.0, 1e-6);
    CHECK_RELATIVE(static_cast<double>(track.path_length_m()), 2.0 * pi * 5.0, 1e-4);
    CHECK_WITHIN(static_cast<double>(track.face_radius_m()), 0.019, 1e-7);
    for (int i = 0; i <= 1000; ++i) {
        const double time_s = 15.0 * i / 1000.0;
        const LampInstant here = track.at(static_cast<float>(time_s));
        CHECK_WITHIN(Vec3(here.position_m), lit.position_m(time_s), 1e-4);
        CHECK_WITHIN(Vec3(here.aim), aim_direction(lit, {}, time_s), 1e-4);
    }
    CHECK_WITHIN(Vec3(track.at(-1.0f).position_m), lit.position_m(0.0), 1e-5);
    CHECK_WITHIN(Vec3(track.at(99.0f).position_m), lit.position_m(15.0), 1e-5);
}

TEST_CASE("a track's intensity is the beam's, for narrow and wide beams") {
    for (const double beam_deg : {1.0, 5.0, 25.0, 60.0, 120.0, 170.0, 360.0}) {
        CAPTURE(beam_deg);
        Lamp lamp = bare_lamp("lamp", 50.0);
        lamp.beam_deg = beam_deg;
        lamp.spill = 0.02;
        Shoot shoot = flown(lamp);
        shoot.takes.front().lamp_stops = {{"lamp", 1.5}};
        const LampTrack track(first_lit(shoot), {});
        const Beam beam(lamp);
        const double stops = std::exp2(1.5);
        const double last_rad = beam_deg < 90.0 ? radians(4.0 * beam_deg) : pi;
        for (int i = 0; i <= 3600; ++i) {
            const double angle_rad = std::min(last_rad, pi) * i / 3600.0;
            // A very wide beam ends upright at 90 degrees; its table rounds that edge off.
            if (beam_deg > 150.0 && std::abs(angle_rad - 0.5 * pi) < 0.007) continue;
            const double haversine = std::pow(std::sin(0.5 * angle_rad), 2);
            CHECK_WITHIN(
                luminance_of(track.flux_lm()) *
                    static_cast<double>(track.intensity_cd(static_cast<float>(haversine))),
                stops * beam.intensity_cd(std::cos(angle_rad)),
                (beam_deg > 150.0 ? 5e-4 : 1e-5) * stops * (beam.peak_cd() + beam.even_cd()));
        }
    }
}

// Intensity over all directions, 2 pi sin(w) dw = 4 pi d(haversine), is the flux.
TEST_CASE("a track's intensity sums to its lamp's flux, however narrow the beam") {
    for (const double beam_deg : {1.0, 3.0, 30.0, 120.0, 175.0}) {
        CAPTURE(beam_deg);
        Lamp lamp = bare_lamp("lamp", 50.0);
        lamp.flux_lm = 1000.0;
        lamp.beam_deg = beam_deg;
        const LampTrack track(first_lit(flown(lamp)), {});
        const double end = std::pow(std::sin(0.5 * static_cast<double>(track.reach_rad())), 2);
        constexpr int steps = 200000;
        double sum_lm = 0.0;
        for (int i = 0; i < steps; ++i) {
            // Steps go with the square of a number, so that they are short near the aim.
            const double from = static_cast<double>(i) / steps;
            const double until = static_cast<double>(i + 1) / steps;
            const double middle = 0.5 * (from + until);
            sum_lm +=
                4.0 * pi * end * (until * until - from * from) *
                static_cast<double>(track.intensity_cd(static_cast<float>(end * middle * middle)));
        }
        // The table rounds off the upright edge of a very wide beam.
        CHECK_RELATIVE(luminance_of(track.flux_lm()), 1000.0, 1e-6);
        CHECK_RELATIVE(sum_lm, 1.0, beam_deg > 150.0 ? 5e-4 : 2e-5);
    }
}

// An aim that turns is a chord between two entries of the table, a hair shorter than one: a beam of
// a degree must not go dim there.
TEST_CASE("a narrow beam on its target keeps its full strength all along the track") {
    Lamp lamp = bare_lamp("lamp", 50.0);
    lamp.beam_deg = 1.0;
    lamp.aim = AimAtSubject{"mark"};
    const Vec3 target_m(0.3, 0.2, 0.0);
    const Shoot shoot = flown(lamp);
    const LampTrack track(first_lit(shoot), {{"mark", target_m}});
    for (int i = 0; i < 5000; ++i) {
        const LampInstant here = track.at(track.lit_s() * (static_cast<float>(i) + 0.5f) / 5000.0f);
        const glm::vec3 to_lamp = here.position_m - glm::vec3(target_m);
        const float haversine = haversine_to_aim(to_lamp.x, to_lamp.y, to_lamp.z,
                                                 1.0f / glm::length(to_lamp), here.aim);
        CHECK_RELATIVE(
            luminance_of(track.flux_lm()) * static_cast<double>(track.intensity_cd(haversine)),
            Beam(lamp).peak_cd(), 1e-3);
    }
}

// Lit time stands still while the lamp is dark.
TEST_CASE("a track of several burnings is where the lamp is, and jumps over the dark") {
    Lamp lamp = lobe_lamp("lamp", 100.0, 4.0);
    lamp.aim = AimWord::ahead;
    lamp.lit_s = TimeWindows{{1.0, 3.0}, {3.0, 4.5}, {9.0, 9.25}, {14.0, 40.0}};
    const Shoot shoot = flown(lamp);
    const LitLamp lit = first_lit(shoot);
    const LampTrack track(lit, {});
    CHECK_WITHIN(static_cast<double>(track.lit_s()), 4.75, 1e-6);
    const double speed_m_s = 2.0 * pi * 5.0 / 15.0;
    CHECK_RELATIVE(static_cast<double>(track.path_length_m()), 4.75 * speed_m_s, 1e-4);
    const std::vector<float> edges_s{0.0f, 3.5f, 3.75f, 4.75f};
    CHECK(track.edges_s() == edges_s);
    for (int i = 0; i < 4000; ++i) {
        const double lit_until_s = 4.75 * (i + 0.5) / 4000.0;
        double time_s = lit_until_s + 1.0;
        if (lit_until_s > 3.5) time_s += 4.5;
        if (lit_until_s > 3.75) time_s += 4.75;
        const LampInstant here = track.at(static_cast<float>(lit_until_s));
        CHECK_WITHIN(Vec3(here.position_m), lit.position_m(time_s), 1.5e-4);
        CHECK_WITHIN(Vec3(here.aim), aim_direction(lit, {}, time_s), 1.5e-4);
    }
    // At an edge comes what follows the gap, just before it what led up to it.
    const double before_m =
        glm::distance(Vec3(track.at(std::nextafter(3.5f, 0.0f)).position_m), lit.position_m(4.5));
    CHECK(before_m < 1e-5);
    CHECK_WITHIN(Vec3(track.at(3.5f).position_m), lit.position_m(9.0), 1e-5);
    CHECK_WITHIN(Vec3(track.at(-1.0f).position_m), lit.position_m(1.0), 1e-5);
    CHECK_WITHIN(Vec3(track.at(99.0f).position_m), lit.position_m(15.0), 1e-5);
}

TEST_CASE("sixteen instants at once are the same as one by one, for any number of burnings") {
    for (const double per_minute : {0.0, 12.0, 6000.0}) {
        Lamp lamp = lobe_lamp("lamp", 100.0, 4.0);
        lamp.aim = AimWord::ahead;
        if (per_minute > 0.0) lamp.pulse = {per_minute, 0.005, 0.3};
        const Shoot shoot = flown(lamp);
        const LitLamp lit = first_lit(shoot);
        const LampTrack track(lit, {});
        CHECK_RELATIVE(static_cast<double>(track.lit_s()), lit.lit_s(), 1e-6);
        for (int k = 0; k < 200; ++k) {
            Lanes time_s;
            for (int i = 0; i < packet_size; ++i)
                time_s[i] = track.lit_s() * static_cast<float>(k * packet_size + i) / 3199.0f;
            LampInstants instants;
            track.at(time_s, instants);
            for (int i = 0; i < packet_size; ++i) {
                CHECK(instants.position_m.at(i) == track.at(time_s[i]).position_m);
                CHECK(instants.aim.at(i) == track.at(time_s[i]).aim);
            }
        }
    }
}

TEST_CASE("every flash of a fast beacon is in its place") {
    Lamp lamp = lobe_lamp("lamp", 100.0, 4.0);
    lamp.pulse = {3000.0, 0.002, 0.0};  // 750 in 15 s
    const Shoot shoot = flown(lamp);
    const LitLamp lit = first_lit(shoot);
    const LampTrack track(lit, {});
    REQUIRE(lit.lit.size() == 750);
    for (int k = 0; k < 750; ++k)
        for (const double share : {0.02, 0.5, 0.98}) {
            const auto lit_until_s = static_cast<float>(0.002 * (k + share));
            CHECK_WITHIN(Vec3(track.at(lit_until_s).position_m),
                         lit.position_m(0.02 * k + 0.002 * share), 3e-5);
        }
}

TEST_CASE("a track keeps up where speed or aim changes sharply") {
    Lamp lamp = lobe_lamp("lamp", 100.0, 4.0);
    lamp.aim = AimAtSubject{"post"};
    PlacedShoot shoot = flown(lamp);
    Mesh post;  // its middle 0.16 m off the flight
    post.positions = {{-0.3f, 4.6f, 8.0f}, {0.3f, 5.2f, 9.75f}};
    add_subject(shoot, "post", post);
    shoot.flights.front().lap_s.reset();
    shoot.flights.front().limits = {20.0, 9.0};
    shoot.flights.front().speed_m_s = 20.0;
    const LitLamp lit = first_lit(shoot);
    const AimTargets targets = aim_targets(shoot, lit);
    const LampTrack track(lit, targets);
    for (int i = 0; i <= 20000; ++i) {
        const double time_s = lit.lit_s() * i / 20000.0;
        const LampInstant here = track.at(static_cast<float>(time_s));
        CHECK_WITHIN(Vec3(here.position_m), lit.position_m(time_s), 1.5e-4);
        CHECK_WITHIN(Vec3(here.aim), aim_direction(lit, targets, time_s), 3e-4);
    }
}

TEST_CASE("a lamp that is left with no time burns for none, and can be asked all the same") {
    for (const bool flies : {true, false}) {
        Shoot shoot = flown(lobe_lamp("lamp", 100.0, 4.0));
        if (!flies) {
            shoot.takes.front().flights.clear();
            stand(shoot, bare_lamp("post", 10.0), {1.0, 2.0, 3.0});
        }
        const LampTrack track(lit_during(first_lit(shoot), {}), {});
        CHECK(track.lit_s() == 0.0f);
        CHECK(std::isfinite(track.at(0.0f).position_m.x));
    }
}

TEST_CASE("a standing lamp has one instant") {
    Shoot shoot = dark_shoot({8, 8});
    stand(shoot, bare_lamp("lamp", 10.0), {1.0, 2.0, 3.0});
    const LampTrack track(first_lit(shoot), {});
    CHECK_FALSE(track.moves());
    CHECK(track.path_length_m() == 0.0f);
    CHECK(track.at(4.0f).position_m == glm::vec3(1.0f, 2.0f, 3.0f));
    CHECK_WITHIN(luminance(Rgb(track.flux_lm())), 4.0 * pi * 10.0, 1e-4);
}

TEST_CASE("a track follows a lamp that strays, on its way and while it hovers") {
    for (const FlightShape shape : {FlightShape::circle, FlightShape::hover})
        for (const auto& [wander_m, wander_s] :
             {std::pair{0.3, 4.0}, std::pair{0.5, 1.0}}) {
            Lamp lamp = lobe_lamp("lamp", 100.0, 4.0);
            lamp.offset_m = Vec3(0.4, 0.0, -0.1);
            lamp.mount = Mount::fixed;
            PlacedShoot shoot = flown(lamp);
            shoot.air.wind_m_s = 5.0;
            shoot.air.gust_m_s = 10.0;
            Flight& flight = shoot.flights.front();
            flight.shape = shape;
            flight.wander_m = wander_m;
            flight.wander_s = wander_s;
            const LitLamp lit = first_lit(shoot);
            const LampTrack track(lit, {});
            CAPTURE(*flight.wander_m);
            CAPTURE(*flight.wander_s);
            double way_m = 0.0, missed_m = 0.0, missed = 0.0;
            constexpr int count = 3000;
            for (int i = 0; i <= count; ++i) {
                const double time_s = 15.0 * i / count;
                const Vec3 here_m = lit.position_m(time_s);
                const LampInstant seen = track.at(static_cast<float>(time_s));
                missed_m = std::max(missed_m, glm::distance(Vec3(seen.position_m), here_m));
                missed = std::max(missed,
                                  glm::distance(Vec3(seen.aim), aim_direction(lit, {}, time_s)));
                if (i > 0) way_m += glm::distance(here_m, lit.position_m(15.0 * (i - 1) / count));
            }
            CHECK(missed_m < 1.3e-4);
            CHECK(missed < 1.3e-4);
            CHECK_RELATIVE(static_cast<double>(track.path_length_m()), way_m, 1e-3);
        }
}
