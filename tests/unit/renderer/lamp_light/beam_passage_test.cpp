#include "renderer/lamp_light/beam_passage.h"

#include <cmath>
#include <span>
#include <vector>

#include "renderer/lamp_light/shutter_integral.h"
#include "scene/basics/angle.h"
#include "scene/shoot/lit_lamp.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A beam that points down, flown 60 m along x in a minute, 4 m up.
LampTrack track_of_beam(double beam_deg) {
    Shoot shoot = dark_shoot({8, 8});
    shoot.camera.shutter_s = 60.0;
    Lamp lamp = bare_lamp("lamp", 100.0);
    lamp.beam_deg = beam_deg;
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(-30.0, 0.0, 4.0);
    flight.to_m = Vec3(30.0, 0.0, 4.0);
    flight.lap_s = 60.0;
    fly(shoot, lamp, flight);
    return LampTrack(lit_lamps(shoot, shoot.takes.front()).front(), {});
}

BeamPassage passage_over(const LampTrack& track, const glm::vec3& middle_m, float radius_m) {
    const LampLeg leg = legs_of(track).front();
    const Patch patch{middle_m, radius_m, {glm::vec3(0.0f, 0.0f, 1.0f)}, 1};
    return beam_passage(track, patch, leg.from_s, leg.lit_s, leg.probes.front());
}

}  // namespace

// Coarse steps are 0.14 m and more; a lobe of one degree is 3 cm wide on the ground.
TEST_CASE("a beam's passage is found however narrow it is, in steps that it does not leap") {
    for (const double beam_deg : {1.0, 5.0, 20.0}) {
        CAPTURE(beam_deg);
        const LampTrack track = track_of_beam(beam_deg);
        const float middle_s = 0.43f * legs_of(track).front().lit_s;
        const glm::vec3 middle_m(track.at(middle_s).position_m.x, 0.0f, 0.0f);
        const BeamPassage passage = passage_over(track, middle_m, 0.0f);
        const auto reach_m = 4.0 * std::tan(static_cast<double>(track.reach_rad()));
        float end_s = 0.0f;
        double reached_s = 0.0, brightest_s = 0.0;
        float brightest_lx = 0.0f;
        for (const PassageStep& step : passage.steps) {
            CHECK_WITHIN(static_cast<double>(step.from_s), static_cast<double>(end_s), 1e-4);
            end_s = step.from_s + step.lasts_s;
            if (step.reached) reached_s += static_cast<double>(step.lasts_s);
            if (step.reached) CHECK(step.turned < 0.27f);
            if (step.light_lx <= brightest_lx) continue;
            brightest_lx = step.light_lx;
            brightest_s = static_cast<double>(step.from_s + 0.5f * step.lasts_s);
        }
        CHECK_WITHIN(static_cast<double>(end_s), static_cast<double>(legs_of(track).front().lit_s),
                     1e-3);
        // At a metre a second, and a few steps on either side.
        CHECK(reached_s > 2.0 * reach_m - 1e-3);
        CHECK(reached_s < 2.6 * reach_m);
        CHECK_WITHIN(brightest_s, static_cast<double>(middle_s), 0.1 * reach_m);
        CHECK(passage.alike);
    }
}

TEST_CASE("points that a beam lights one after the other are not alike") {
    const LampTrack track = track_of_beam(3.0);  // a lobe of 9 cm on the ground
    CHECK(passage_over(track, {-20.0f, 0.0f, 0.0f}, 0.05f).alike);
    CHECK_FALSE(passage_over(track, {-20.0f, 0.0f, 0.0f}, 0.3f).alike);
    // Where the beam never comes, they get the same nothing.
    const BeamPassage aside = passage_over(track, {-20.0f, 5.0f, 0.0f}, 0.3f);
    CHECK(aside.alike);
    for (const PassageStep& step : aside.steps) CHECK_FALSE(step.reached);
}

// Closed form of the whole pass of a lobe I0 cos^m: H = I0 h^(m+1) D^-(m+2) B(1/2, (m+2)/2) / v
// (derived), below its way.
TEST_CASE("a light clock's rule sums a whole pass of beams of every width") {
    for (const double beam_deg : {1.0, 3.0, 10.0, 30.0}) {
        CAPTURE(beam_deg);
        const LampTrack track = track_of_beam(beam_deg);
        SurfacePacket points{};
        for (int i = 0; i < packet_size; ++i) {
            const float apart_m = 0.05f * static_cast<float>(i);
            points.position_m.set(i, {-16.0f + apart_m, 0.0f, 0.0f});
            points.normal.set(i, {0.0f, 0.0f, 1.0f});
            points.face_normal.set(i, {0.0f, 0.0f, 1.0f});
        }
        points.found = all_lanes;
        std::vector<LightClock::Place> places;
        for (int i = 0; i < packet_size; ++i) places.push_back({&points, i});
        Lanes sum_lxs{};
        float single_lxs = 0.0f;
        for (const LampLeg& leg : legs_of(track)) {
            const LightClock clock(track, leg, places, 0.5f);
            const Lanes lxs = clock.unshadowed_lxs(track, points.position_m, points.normal);
            for (int i = 0; i < packet_size; ++i) sum_lxs[i] += lxs[i];
            single_lxs += LightClock(track, leg, std::span(places).subspan(7, 1), 0.5f)
                              .unshadowed_lxs(track, points.position_m.at(7), points.normal.at(7));
        }
        Lamp lamp = bare_lamp("lamp", 100.0);
        lamp.beam_deg = beam_deg;
        const Beam beam(lamp);
        const double flux_lm = luminance_of(track.flux_lm());
        const double expected_lxs = beam.peak_cd() / 4.0 * std::sqrt(pi) *
                                    std::exp(std::lgamma(0.5 * (beam.exponent() + 2.0)) -
                                             std::lgamma(0.5 * (beam.exponent() + 3.0)));
        for (int i = 0; i < packet_size; ++i)
            CHECK_RELATIVE(flux_lm * static_cast<double>(sum_lxs[i]), expected_lxs, 0.002);
        CHECK_RELATIVE(flux_lm * static_cast<double>(single_lxs), expected_lxs, 0.001);
    }
}
