#include "renderer/shutter_integral.h"

#include <algorithm>
#include <cmath>

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
    return LampTrack(shoot, lit_lamps(shoot, shoot.takes.front()).front());
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
        const TimeStrata strata = choose_strata(track, std::span(&points, 1), 16);
        return static_cast<double>(arrived_light(track, open, points, strata, {}).arrived_lxs[5]) /
               static_cast<double>(track.lit_s());
    };
    CHECK_RELATIVE(lx({0.0f, 0.0f, 1.0f}), 10.0, 1e-4);
    CHECK_RELATIVE(lx({std::sin(1.04719755f), 0.0f, 0.5f}), 5.0, 1e-4);
    CHECK(lx({0.0f, 0.0f, -1.0f}) == 0.0);
    CHECK(lx({1.0f, 0.0f, 0.0f}) == 0.0);
}

TEST_CASE("strata cover the lit time, rising, none wider than three even ones") {
    const Shoot shoot = pass_over(lobe_lamp("lamp", 100.0, 20.0), 30.0);
    const LampTrack track = track_of(shoot);
    const SurfacePacket points = ground_points({2.0f, 1.0f});
    const TimeStrata strata = choose_strata(track, std::span(&points, 1), 64);
    REQUIRE(strata.size() == 65);
    CHECK(strata.front() == 0.0f);
    CHECK(strata.back() == track.lit_s());
    for (std::size_t i = 1; i < strata.size(); ++i) {
        CHECK(strata[i] >= strata[i - 1]);
        CHECK(strata[i] - strata[i - 1] <= 3.01f * track.lit_s() / 64.0f);
    }
    // The narrow beam passes in a tenth of the time: most strata go there.
    const auto inside =
        std::ranges::count_if(strata, [&](float s) { return s > 4.0f && s < 7.5f; });
    CHECK(inside > 40);
}

TEST_CASE("longer flights get more strata") {
    const SurfacePacket points = ground_points({0.0f, 0.0f});
    for (const auto& [length_m, strata] : {std::pair(20.0, 64u), {60.0, 128u}, {1000.0, 512u}}) {
        const Shoot shoot = pass_over(bare_lamp("lamp", 100.0), length_m);
        CHECK(choose_strata(track_of(shoot), std::span(&points, 1), 64).size() == strata + 1);
    }
}

// Closed form of the finite stretch: E = I h / (v D^2) [x / sqrt(D^2 + x^2)].
TEST_CASE("combs of strata each stand for the whole, and together are closer") {
    const Shoot shoot = pass_over(bare_lamp("lamp", 100.0), 20.0);
    const LampTrack track = track_of(shoot);
    const Mesh nothing;
    const RayQuery open({&nothing});
    const SurfacePacket points = ground_points({1.0f, 2.0f});
    const TimeStrata strata = choose_strata(track, std::span(&points, 1), 64);
    std::array<double, packet_size> mean{};
    for (int first = 0; first < 8; ++first) {
        const TimeComb comb{.first = first, .step = 8, .shift = 0.3f};
        const ArrivedLight light = arrived_light(track, open, points, strata, comb);
        const Lanes& part = light.arrived_lxs;
        CHECK(light.dark == 0);
        CHECK(part.lane == unshadowed_lxs(track, points, strata, comb).lane);
        for (int i = 0; i < packet_size; ++i)
            mean[static_cast<std::size_t>(i)] += static_cast<double>(part[i]) / 8.0;
    }
    for (int i = 0; i < packet_size; ++i) {
        const glm::dvec3 p(points.position_m.at(i));
        const double D = std::hypot(4.0, p.y);
        const auto upto = [D](double x) { return x / std::hypot(D, x); };
        const double expected_lxs =
            100.0 * 4.0 / (2.0 * D * D) * (upto(10.0 - p.x) - upto(-10.0 - p.x));
        CHECK_RELATIVE(mean[static_cast<std::size_t>(i)], expected_lxs, 0.01);
    }
}

TEST_CASE("lanes without a surface receive nothing") {
    const Shoot shoot = pass_over(bare_lamp("lamp", 100.0), 20.0);
    const LampTrack track = track_of(shoot);
    const Mesh nothing;
    const RayQuery open({&nothing});
    SurfacePacket points = ground_points({0.0f, 0.0f});
    points.found = 0x00f0u;
    const TimeStrata strata = choose_strata(track, std::span(&points, 1), 32);
    const Lanes light = arrived_light(track, open, points, strata, {}).arrived_lxs;
    for (int i = 0; i < packet_size; ++i) CHECK((light[i] > 0.0f) == has_lane(points.found, i));
}
