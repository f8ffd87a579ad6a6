#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "scene/flights/files/path_file.h"
#include "scene/flights/files/sample_path.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// The farthest that the path, looked at in so many places, is from the chord of its moment.
double most_off_chords_m(const FlightPath& path, const std::vector<PathSample>& samples,
                         int looks) {
    double most_m = 0.0;
    std::size_t leg = 0;
    for (int i = 0; i <= looks; ++i) {
        const double time_s = path.begins_s() + path.duration_s() * i / looks;
        while (leg + 2 < samples.size() && samples[leg + 1].time_s <= time_s) ++leg;
        const Vec3 from_m = samples[leg].at_m, chord = samples[leg + 1].at_m - from_m;
        const Vec3 at_m = path.position_m(time_s) - from_m;
        const double square = glm::dot(chord, chord);
        const double share =
            square > 0.0 ? std::clamp(glm::dot(at_m, chord) / square, 0.0, 1.0) : 0.0;
        most_m = std::max(most_m, glm::distance(at_m, share * chord));
    }
    return most_m;
}

std::vector<PathSample> enough_samples(const FlightPath& path) {
    auto samples = sample_path(path);
    REQUIRE(samples.has_value());
    return *samples;
}

Flight sampled_shape(FlightShape shape) {
    Flight flight;
    flight.shape = shape;
    flight.lap_s = 20.0;
    flight.from_m = Vec3(-6.0, 1.0, 4.0);
    flight.to_m = Vec3(6.0, 10.0, 8.0);
    return flight;
}

}  // namespace

TEST_CASE("sampled: chords stay within two millimetres of every shape, with few points") {
    for (const FlightShape shape : {FlightShape::circle, FlightShape::ring, FlightShape::helix,
                                    FlightShape::spiral, FlightShape::star, FlightShape::sweep})
        for (const double radius_m : {0.05, 5.0, 400.0}) {
            Flight flight = sampled_shape(shape);
            flight.radius_m = radius_m;
            flight.end_radius_m = 0.3 * radius_m;
            flight.turns = shape == FlightShape::star || shape == FlightShape::sweep ? 1.0 : 2.0;
            const FlightPath path(flight, 20.0);
            const std::vector<PathSample> samples = enough_samples(path);
            CAPTURE(static_cast<int>(shape));
            CAPTURE(radius_m);
            CHECK(most_off_chords_m(path, samples, 20'000) <= chord_error_m);
            for (std::size_t i = 1; i < samples.size(); ++i)
                REQUIRE(samples[i].time_s > samples[i - 1].time_s);
            // A chord of c leaves a circle by s where c^2 = 8 r s: some 0.28 m of 5 m.
            if (shape == FlightShape::circle && radius_m == 5.0) {
                const double fewest = path.length_m() / std::sqrt(8.0 * radius_m * chord_error_m);
                CHECK(static_cast<double>(samples.size()) > fewest);
                CHECK(static_cast<double>(samples.size()) < 2.5 * fewest);
            }
        }
}

TEST_CASE("sampled: a straight flight is two points, at its times and speed") {
    Flight flight = sampled_shape(FlightShape::line);
    const FlightPath path(flight, 10.0, 3.0);
    const std::vector<PathSample> samples = enough_samples(path);
    REQUIRE(samples.size() == 2);
    CHECK_WITHIN(samples[0].at_m, *flight.from_m, 1e-9);
    CHECK_WITHIN(samples[1].at_m, *flight.to_m, 1e-9);
    CHECK_WITHIN(samples[0].time_s, 3.0, 1e-9);
    CHECK_WITHIN(samples[1].time_s, 23.0, 1e-9);
    CHECK_WITHIN(samples[0].speed_m_s, glm::distance(*flight.from_m, *flight.to_m) / 20.0, 1e-6);
    CHECK(samples[1].speed_m_s == 0.0);
}

TEST_CASE("sampled: holds are one sample, and lamps change at one") {
    Flight flight;
    flight.shape = FlightShape::waypoints;
    flight.limits = {3.0, 1.0};
    Waypoint corner{Vec3(0, 0, 5)};
    corner.aim = AimWord::down;
    flight.path.push_back(corner);
    corner = {Vec3(20, 0, 5)};
    corner.hold_s = 4.0;
    corner.lit = false;
    flight.path.push_back(corner);
    corner = {Vec3(20, 20, 5)};
    corner.hold_s = 1.5;
    corner.aim = AimAtSubject{"arch"};
    flight.path.push_back(corner);
    flight.path.push_back({Vec3(20, 20, 15)});
    const FlightPath path(flight, 10.0);
    const std::vector<PathSample> samples = enough_samples(path);
    REQUIRE(samples.size() == 4);
    CHECK_WITHIN(samples[1].hold_s, 4.0, 1e-6);
    CHECK_WITHIN(samples[2].hold_s, 1.5, 1e-6);
    CHECK(samples[0].lit);
    CHECK(!samples[1].lit);
    CHECK(samples[2].lit);
    CHECK(samples[0].aim == Aim(AimWord::down));
    CHECK(!samples[1].aim);
    CHECK(samples[2].aim == Aim(AimAtSubject{"arch"}));
    // 20 m from rest to rest at 1 m/s2 and up to 2 m/s: 2 s, 8 s, 2 s.
    CHECK_WITHIN(samples[1].time_s, 12.0, 1e-6);
    CHECK_WITHIN(samples[2].time_s, 12.0 + 4.0 + 12.0, 1e-6);
    CHECK_WITHIN(samples[0].speed_m_s, 2.0, 1e-6);
    CHECK(most_off_chords_m(path, samples, 2000) <= chord_error_m);
}

TEST_CASE("sampled: where a flight hovers, it holds") {
    Flight flight = sampled_shape(FlightShape::hover);
    flight.lap_s = 12.0;
    const FlightPath path(flight, 10.0);
    const std::vector<PathSample> samples = enough_samples(path);
    REQUIRE(samples.size() == 2);
    CHECK_WITHIN(samples[0].hold_s, path.duration_s(), 1e-9);
    CHECK(samples[0].at_m == samples[1].at_m);
    CHECK(samples[1].time_s > samples[0].time_s);
}

TEST_CASE("sampled: many corners each keep their place; what needs too many points is none") {
    // A comb whose teeth come again and again at even ways.
    Flight comb;
    comb.shape = FlightShape::waypoints;
    for (int i = 0; i < 400; ++i) {
        comb.path.push_back({Vec3(i, i % 2 == 0 ? 0.0 : 1.0, 5.0)});
        comb.path.push_back({Vec3(i + 1, i % 2 == 0 ? 0.0 : 1.0, 5.0)});
    }
    const FlightPath path(comb, 30.0);
    CHECK(most_off_chords_m(path, enough_samples(path), 100'000) <= chord_error_m);

    Flight turns = sampled_shape(FlightShape::circle);
    turns.radius_m = 5000.0;
    turns.turns = 1000.0;
    CHECK(!sample_path(FlightPath(turns, 30.0)).has_value());
}
