#include "renderer/lamp_track.h"

#include <cmath>

#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Shoot flown(const Lamp& lamp) {
    Shoot shoot = dark_shoot({8, 8});
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
    const LampTrack track(shoot, lit);
    CHECK(track.moves());
    CHECK_WITHIN(static_cast<double>(track.lit_s()), 15.0, 1e-6);
    CHECK_RELATIVE(static_cast<double>(track.path_length_m()), 2.0 * pi * 5.0, 1e-4);
    CHECK_WITHIN(static_cast<double>(track.face_radius_m()), 0.019, 1e-7);
    for (int i = 0; i <= 1000; ++i) {
        const double time_s = 15.0 * i / 1000.0;
        const LampInstant here = track.at(static_cast<float>(time_s));
        CHECK_WITHIN(Vec3(here.position_m), lit.position_m(time_s), 1e-4);
        CHECK_WITHIN(Vec3(here.aim), aim_direction(shoot, lit, time_s), 1e-4);
    }
    CHECK_WITHIN(Vec3(track.at(-1.0f).position_m), lit.position_m(0.0), 1e-5);
    CHECK_WITHIN(Vec3(track.at(99.0f).position_m), lit.position_m(15.0), 1e-5);
}

TEST_CASE("a track's intensity is the beam's, for narrow and wide beams") {
    for (const double beam_deg : {5.0, 25.0, 60.0, 120.0, 170.0, 360.0}) {
        Lamp lamp = bare_lamp("lamp", 50.0);
        lamp.beam_deg = beam_deg;
        lamp.spill = 0.02;
        Shoot shoot = flown(lamp);
        shoot.takes.front().lamp_stops = {{"lamp", 1.5}};
        const LampTrack track(shoot, first_lit(shoot));
        const Beam beam(lamp);
        const double stops = std::exp2(1.5);
        for (int i = 0; i <= 3600; ++i) {
            // A very wide beam ends upright at 90 degrees; its table rounds that edge off.
            if (beam_deg > 150.0 && std::abs(i - 1800) < 8) continue;
            const double cosine = std::cos(pi * i / 3600.0);
            const double expected_cd = stops * beam.intensity_cd(cosine);
            CHECK_WITHIN(static_cast<double>(track.intensity_cd(static_cast<float>(cosine))),
                         expected_cd, 5e-4 * stops * (beam.peak_cd() + beam.even_cd()));
        }
    }
}

TEST_CASE("a standing lamp has one instant") {
    Shoot shoot = dark_shoot({8, 8});
    stand(shoot, bare_lamp("lamp", 10.0), {1.0, 2.0, 3.0});
    const LampTrack track(shoot, first_lit(shoot));
    CHECK_FALSE(track.moves());
    CHECK(track.path_length_m() == 0.0f);
    CHECK(track.at(4.0f).position_m == glm::vec3(1.0f, 2.0f, 3.0f));
    CHECK_WITHIN(luminance(Rgb(track.colour())), 1.0, 1e-6);
}
