#include "renderer/lamp_light/irradiance_field.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "renderer/sampling/directions.h"
#include "renderer/sampling/low_discrepancy.h"
#include "scene/shoot/lit_lamp.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr std::size_t packets = 8;

/// Rough ground: points 4 cm up and down, normals that lean up to `lean_rad` to any side.
std::vector<SurfacePacket> rough_patch(const glm::vec2& middle_m, float side_m, float lean_rad) {
    std::vector<SurfacePacket> patch(packets);
    std::uint32_t number = 0;
    for (SurfacePacket& points : patch) {
        for (int i = 0; i < packet_size; ++i, ++number) {
            const auto chance = [&](std::uint32_t of) { return hashed_place(number, of); };
            const glm::vec2 off_m = side_m * glm::vec2(chance(1) - 0.5f, chance(2) - 0.5f);
            points.position_m.set(i, glm::vec3(middle_m + off_m, 0.04f * (chance(3) - 0.5f)));
            const float lean = lean_rad * chance(4);
            const glm::vec2 side = on_disc({1.0f, chance(5)});
            points.normal.set(i, glm::vec3(std::sin(lean) * side, std::cos(lean)));
            points.face_normal.set(i, {0.0f, 0.0f, 1.0f});
        }
        points.found = all_lanes;
    }
    return patch;
}

std::vector<LightClock::Place> places_in(const std::vector<SurfacePacket>& patch) {
    std::vector<LightClock::Place> places;
    for (const SurfacePacket& points : patch)
        for (int i = 0; i < packet_size; ++i) places.push_back({&points, i});
    return places;
}

/// A circle of 5 m radius, 4 m up, flown in ten seconds.
LampTrack circling(const Lamp& lamp) {
    Shoot shoot = dark_shoot({8, 8});
    Flight flight;
    flight.height_m = 4.0;
    flight.radius_m = 5.0;
    flight.lap_s = 10.0;
    fly(shoot, lamp, flight);
    return LampTrack(lit_lamps(shoot, shoot.takes.front()).front(), {});
}

struct Outcome {
    double worst_share = 0.0;  ///< of the light that level ground there gets
    int by_field = 0;          ///< points and parts
    int by_sum = 0;
};

/// The field's light, with what it leaves out summed one by one, against the sum of all.
Outcome judged(const LampTrack& track, const glm::vec2& middle_m, float side_m, float lean_rad) {
    const std::vector<SurfacePacket> patch = rough_patch(middle_m, side_m, lean_rad);
    const std::vector<LightClock::Place> places = places_in(patch);
    const LightClock clock(track, legs_of(track).front(), std::span(places).first(5), 0.5f);
    const IrradianceField field(track, clock, places);
    LaneVectors up{};
    up.z.lane.fill(1.0f);
    Outcome outcome;
    for (const SurfacePacket& points : patch) {
        std::array<LaneMask, IrradianceField::most_parts> left_out;
        Lanes light_lxs = field.light_lxs(points.position_m, points.normal, left_out);
        for (std::size_t p = 0; p < field.parts(); ++p) {
            const auto [first, end] = field.nodes_of(p);
            const Lanes summed_lxs =
                clock.unshadowed_lxs(track, points.position_m, points.normal, first, end);
            for (int i = 0; i < packet_size; ++i)
                if (has_lane(left_out[p], i)) {
                    light_lxs[i] += summed_lxs[i];
                    ++outcome.by_sum;
                } else {
                    ++outcome.by_field;
                }
        }
        const Lanes all_lxs = clock.unshadowed_lxs(track, points.position_m, points.normal);
        const Lanes level_lxs = clock.unshadowed_lxs(track, points.position_m, up);
        for (int i = 0; i < packet_size; ++i)
            outcome.worst_share = std::max(
                outcome.worst_share,
                std::abs(static_cast<double>(light_lxs[i]) - static_cast<double>(all_lxs[i])) /
                    static_cast<double>(level_lxs[i]));
    }
    return outcome;
}

}  // namespace

// The bound at the fitted points is half a thousandth of the field; others may err more.
TEST_CASE("a lamp's field agrees with the sum over its way, wherever it is good") {
    for (const Lamp& lamp : {bare_lamp("lamp", 100.0), lobe_lamp("lamp", 100.0, 2.0)}) {
        const LampTrack track = circling(lamp);
        for (const glm::vec2& middle_m :
             {glm::vec2(0.0f), glm::vec2(3.0f, 1.0f), glm::vec2(12.0f)}) {
            CAPTURE(middle_m.x);
            const Outcome gentle = judged(track, middle_m, 0.15f, 0.2f);
            CHECK(gentle.worst_share < 2e-3);
            CHECK(gentle.by_field > 2 * gentle.by_sum);
            const Outcome rough = judged(track, middle_m, 0.15f, 1.4f);
            CHECK(rough.worst_share < 2e-3);
            CHECK(rough.by_field > 0);
            CHECK(rough.by_sum > 0);
        }
    }
}

TEST_CASE("a field that would err serves nothing, and leaves all to the sum") {
    const LampTrack track = circling(bare_lamp("lamp", 100.0));
    const Outcome wide = judged(track, {3.0f, 1.0f}, 12.0f, 0.2f);
    CHECK(wide.by_field == 0);
    CHECK(wide.worst_share < 1e-6);
}
