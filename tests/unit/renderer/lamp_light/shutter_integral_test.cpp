#include "renderer/lamp_light/shutter_integral.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "scene/shoot/lit_lamp.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Shoot pass_over(const Lamp& lamp, double length_m) {
    Shoot shoot = dark_shoot({8, 8});
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(-0.5 * length_m, 0.0, 4.0);
    flight.to_m = Vec3(0.5 * length_m, 0.0, 4.0);
    flight.lap_s = 10.0;
    fly(shoot, lamp, flight);
    return shoot;
}

LampTrack track_of(const Shoot& shoot) {
    return LampTrack(lit_lamps(shoot, shoot.takes.front()).front(), {});
}

/// Sixteen points a hand apart on level ground.
SurfacePacket ground_points(const glm::vec2& middle_m) {
    SurfacePacket points;
    for (int i = 0; i < packet_size; ++i) {
        const glm::vec2 off(0.1f * static_cast<float>(i % 4) - 0.15f,
                            0.1f * static_cast<float>(i / 4) - 0.15f);
        points.position_m.set(i, glm::vec3(middle_m + off, 0.0f));
        points.normal.set(i, {0.0f, 0.0f, 1.0f});
        points.face_normal.set(i, {0.0f, 0.0f, 1.0f});
        points.reflectance.set(i, glm::vec3(0.5f));
    }
    points.found = all_lanes;
    return points;
}

LightClock clock_of(const LampTrack& track, const SurfacePacket& points, float shift) {
    const std::array<LightClock::Place, 3> places{{{&points, 0}, {&points, 6}, {&points, 15}}};
    return {track, legs_of(track).front(), places, shift};
}

/// Lux seconds that rays find at the points, by so many instants.
std::vector<double> light_lxs(const LampTrack& track, const RayQuery& rays,
                              const SurfacePacket& points, int instants) {
    const LightClock clock = clock_of(track, points, 0.5f);
    const int step = LightClock::instants / instants;
    std::vector<double> sum_lxs(packet_size);
    for (int k = step / 2; k < LightClock::instants; k += step) {
        ShadowRays lines{};
        for (int i = 0; i < packet_size; ++i) {
            lines.set(i, points, i, 0);
            clock.aim(lines, i, k);
        }
        const ShadowTest seen = shadow_test(track, rays, lines);
        for (int i = 0; i < packet_size; ++i)
            if (has_lane(seen.lit, i))
                sum_lxs[static_cast<std::size_t>(i)] +=
                    static_cast<double>(seen.light_lxs[i]) / instants;
    }
    return sum_lxs;
}

}  // namespace

// I cos / d^2: published 10 lx below 1000 cd at 10 m, 5 lx at 60 degrees of incidence.
TEST_CASE("a standing lamp: inverse square and cosine times the time it is lit") {
    Shoot shoot = dark_shoot({8, 8});
    stand(shoot, bare_lamp("lamp", 1000.0), {0.0, 0.0, 10.0});
    const LampTrack track = track_of(shoot);
    const Mesh nothing;
    const RayQuery open({&nothing});
    const auto lx = [&](const glm::vec3& normal) {
        SurfacePacket points = ground_points({0.0f, 0.0f});
        for (int i = 0; i < packet_size; ++i) {
            points.position_m.set(i, glm::vec3(0.0f));
            points.normal.set(i, normal);
        }
        return luminance_of(track.flux_lm()) * light_lxs(track, open, points, 16)[5] /
               static_cast<double>(track.lit_s());
    };
    CHECK_RELATIVE(lx({0.0f, 0.0f, 1.0f}), 10.0, 1e-4);
    CHECK_RELATIVE(lx({std::sin(1.04719755f), 0.0f, 0.5f}), 5.0, 1e-4);
    CHECK(lx({0.0f, 0.0f, -1.0f}) == 0.0);
    CHECK(lx({1.0f, 0.0f, 0.0f}) == 0.0);
}

TEST_CASE("long flights fall into legs that join") {
    for (const auto& [length_m, count] : {std::pair(20.0, 1u), {100.0, 3u}, {5000.0, 16u}}) {
        const LampTrack track = track_of(pass_over(bare_lamp("lamp", 100.0), length_m));
        const std::vector<LampLeg> legs = legs_of(track);
        REQUIRE(legs.size() == count);
        float end_s = 0.0f;
        for (const LampLeg& leg : legs) {
            CHECK_WITHIN(leg.from_s, end_s, 1e-5);
            end_s = leg.from_s + leg.lit_s;
        }
        CHECK_WITHIN(end_s, track.lit_s(), 1e-4);
    }
}

// A narrow beam passes over in a tenth of the time.
TEST_CASE("the light clock spends its instants where the light is") {
    const LampTrack track = track_of(pass_over(lobe_lamp("lamp", 100.0, 20.0), 30.0));
    const SurfacePacket points = ground_points({2.0f, 1.0f});
    const LightClock clock = clock_of(track, points, 0.5f);
    ShadowRays lines{};
    int near = 0;
    float before_m = -std::numeric_limits<float>::infinity();
    float whole_s = 0.0f;
    for (int k = 0; k < LightClock::instants; ++k) {
        clock.aim(lines, 0, k);
        CHECK(lines.lamp.position_m.x[0] >= before_m);
        before_m = lines.lamp.position_m.x[0];
        if (std::abs(before_m - 2.0f) < 3.0f) ++near;
        whole_s += lines.rate_s[0] / LightClock::instants;
        clock.aim(lines, 1, static_cast<float>(k), track);
        CHECK_WITHIN(glm::dvec3(lines.lamp.position_m.at(1)),
                     glm::dvec3(lines.lamp.position_m.at(0)), 1e-3);
    }
    CHECK(near > 36);
    CHECK_WITHIN(whole_s, track.lit_s(), 1e-4);
}

// Closed form of the finite stretch: E = I h / (v D^2) [x / sqrt(D^2 + x^2)].
TEST_CASE("unshadowed light by a few steps, and by rays in the open") {
    const LampTrack track = track_of(pass_over(bare_lamp("lamp", 100.0), 20.0));
    const Mesh nothing;
    const RayQuery open({&nothing});
    const SurfacePacket points = ground_points({1.0f, 2.0f});
    const LightClock clock = clock_of(track, points, 0.3f);
    const Lanes all_lxs = clock.unshadowed_lxs(track, points.position_m, points.normal);
    const std::vector<double> by_rays_lxs = light_lxs(track, open, points, 64);
    for (int i = 0; i < packet_size; ++i) {
        const glm::dvec3 p(points.position_m.at(i));
        const double D = std::hypot(4.0, p.y);
        const auto upto = [D](double x) { return x / std::hypot(D, x); };
        const double expected_lxs =
            100.0 * 4.0 / (2.0 * D * D) * (upto(10.0 - p.x) - upto(-10.0 - p.x));
        const double flux_lm = luminance_of(track.flux_lm());
        CHECK_RELATIVE(flux_lm * static_cast<double>(all_lxs[i]), expected_lxs, 0.001);
        CHECK_RELATIVE(flux_lm * by_rays_lxs[static_cast<std::size_t>(i)], expected_lxs, 0.005);
    }
}

// Half of a symmetric pass brings half of the light, wherever in their steps the instants lie. A
// sum whose steps began at the instants instead of lying about them would be off by 1 %.
TEST_CASE("instants stand for the steps about them") {
    const LampTrack track = track_of(pass_over(bare_lamp("lamp", 100.0), 20.0));
    const SurfacePacket points = ground_points({0.05f, 0.35f});
    const std::array<LightClock::Place, 1> abreast{{{&points, 5}}};  // of the pass's middle
    const Mesh nothing;
    const RayQuery open({&nothing});
    for (const float shift : {0.02f, 0.25f, 0.5f, 0.75f, 0.98f}) {
        const LightClock clock(track, legs_of(track).front(), abreast, shift);
        double all = 0.0, late = 0.0;
        for (int k = 0; k < LightClock::instants; ++k) {
            ShadowRays lines{};
            lines.set(5, points, 5, 0);
            clock.aim(lines, 5, k);
            const auto light = static_cast<double>(shadow_test(track, open, lines).light_lxs[5]);
            all += light;
            // What lies about the instant that is abreast counts for its part beyond.
            const double beyond = static_cast<double>(k) + static_cast<double>(shift) - 32.0;
            late += std::clamp(beyond + 0.5, 0.0, 1.0) * light;
        }
        // The lattice itself is off the clock's ends by a part of a step, which is dim there.
        CHECK_WITHIN(late / all, 0.5, 0.003);
    }
}

TEST_CASE("lanes without a surface ask nothing") {
    const LampTrack track = track_of(pass_over(bare_lamp("lamp", 100.0), 20.0));
    const Mesh nothing;
    const RayQuery open({&nothing});
    const SurfacePacket points = ground_points({0.0f, 0.0f});
    const LightClock clock = clock_of(track, points, 0.5f);
    ShadowRays lines{};
    for (int i = 4; i < 8; ++i) {
        lines.set(i, points, i, 0);
        clock.aim(lines, i, 10);
    }
    const ShadowTest seen = shadow_test(track, open, lines);
    CHECK(seen.asked == 0x00f0u);
    CHECK(seen.lit == 0x00f0u);
}
