#include "renderer/lamp_light/shutter_integral.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "renderer/sampling/directions.h"
#include "renderer/sampling/low_discrepancy.h"

namespace lampflight {
namespace {

// As many times as far as the lamp is from what it lights, a leg may be long.
constexpr float leg_over_height = 9.0f;
constexpr float shortest_leg_m = 10.0f;
constexpr float longest_leg_m = 60.0f;
constexpr int most_legs = 16;

constexpr float dim_share = 0.25f;   // of the brightest point's light
constexpr float even_share = 0.35f;  // of the clock, spread evenly whatever the light does

// A probe a step of this share of the distance to the lamp finds how its light comes and goes.
constexpr float near_share = 0.2f;

constexpr float least_light = 1e-20f;  // less can't be divided by

// Gauss's rule of three points: places and weights by the half stretch.
constexpr std::array<float, 3> gauss_place{-0.77459667f, 0.0f, 0.77459667f};
constexpr std::array<float, 3> gauss_weight{5.0f / 9.0f, 8.0f / 9.0f, 5.0f / 9.0f};

// Stretches of it: half the square of how many times its least distance the lamp flies on the leg,
// within these. Where it stands low, relief turns away from it for a part of the time, differently
// in each pixel, and only many stretches mend that. As good on the benchmark's films as 16 of two
// points, and half the work on open ground.
constexpr float least_stretches = 6.0f;
constexpr float least_under_low_lamp = 11.0f;
constexpr float low_lamp_cosine = 0.25f;
constexpr float even_stretches_at_most = 22.0f;
constexpr std::size_t most_jumps = 16;  // more flashes than this go by as one glow

// A shadow ray stops short of the lamp's own place.
constexpr float shadow_reach = 0.9999f;

/// One instant for all lanes.
struct AllLanes {
    const LampInstant& lamp;
    glm::vec3 position(int) const { return lamp.position_m; }
    glm::vec3 aim(int) const { return lamp.aim; }
};

/// An instant for each lane.
struct EachLane {
    const LampInstants& lamp;
    glm::vec3 position(int i) const { return lamp.position_m.at(i); }
    glm::vec3 aim(int i) const { return lamp.aim.at(i); }
};

/// Illuminance in lux at sixteen points with nothing in between. The face is a disc that always
/// looks at the point; within its radius the inverse square is cut off.
template <class Lamp>
void unshadowed_lx(const LampTrack& track, const Lamp& lamp, const LaneVectors& position_m,
                   const LaneVectors& normal, Lanes& light_lx) {
    Lanes cos_to_aim, geometry;
    const float least_m2 = track.face_radius_m() * track.face_radius_m();
    for (int i = 0; i < packet_size; ++i) {
        const glm::vec3 at_m = lamp.position(i);
        const glm::vec3 aim = lamp.aim(i);
        const float x = at_m.x - position_m.x[i];
        const float y = at_m.y - position_m.y[i];
        const float z = at_m.z - position_m.z[i];
        const float square_m2 = std::max(x * x + y * y + z * z, 1e-12f);
        const float per_m = 1.0f / std::sqrt(square_m2);
        const float along = (x * normal.x[i] + y * normal.y[i] + z * normal.z[i]) * per_m;
        cos_to_aim[i] = -(x * aim.x + y * aim.y + z * aim.z) * per_m;
        geometry[i] = std::max(along, 0.0f) / std::max(square_m2, least_m2);
    }
    track.intensity_cd(cos_to_aim, light_lx);
    for (int i = 0; i < packet_size; ++i) light_lx[i] *= geometry[i];
}

LaneVectors everywhere(const glm::vec3& value) {
    LaneVectors lanes;
    lanes.x.lane.fill(value.x);
    lanes.y.lane.fill(value.y);
    lanes.z.lane.fill(value.z);
    return lanes;
}

/// Unshadowed light at even instants of a leg.
using LightByTime = std::vector<float>;

void probe(const LampTrack& track, std::span<const LampInstants> probes,
           const LightClock::Place& place, LightByTime& light) {
    const LaneVectors position_m = everywhere(place.packet->position_m.at(place.lane));
    const LaneVectors normal = everywhere(place.packet->normal.at(place.lane));
    light.resize(probes.size() * packet_size);
    for (std::size_t k = 0; k < probes.size(); ++k) {
        Lanes light_lx;
        unshadowed_lx(track, EachLane{probes[k]}, position_m, normal, light_lx);
        std::ranges::copy(light_lx.lane,
                          light.begin() + static_cast<std::ptrdiff_t>(k * packet_size));
    }
}

/// The most that any of the points gets of its own light, so that where they differ no one's bright
/// moment is passed over. Dim points count less: the pixel's light is not theirs.
LightByTime light_by_time(const LampTrack& track, std::span<const LampInstants> probes,
                          std::span<const LightClock::Place> places) {
    std::vector<LightByTime> probed(places.size());
    std::vector<float> totals(places.size());
    float brightest = 0.0f;
    for (std::size_t p = 0; p < places.size(); ++p) {
        probe(track, probes, places[p], probed[p]);
        totals[p] = std::accumulate(probed[p].begin(), probed[p].end(), 0.0f);
        brightest = std::max(brightest, totals[p]);
    }
    LightByTime light(probes.size() * packet_size, 0.0f);
    if (brightest <= least_light) return light;
    for (std::size_t p = 0; p < places.size(); ++p) {
        const float per_total = 1.0f / std::max(totals[p], dim_share * brightest);
        for (std::size_t k = 0; k < light.size(); ++k)
            light[k] = std::max(light[k], probed[p][k] * per_total);
    }
    return light;
}

/// How near the lamp comes to any of the places at the coarse instants, and how low over it.
struct Nearness {
    float distance_m = std::numeric_limits<float>::infinity();
    float cosine = 1.0f;  ///< to the face's normal; none where the lamp is behind it
};

Nearness nearness(const LampLeg& leg, std::span<const LightClock::Place> places) {
    Nearness least;
    for (const LightClock::Place& place : places) {
        const glm::vec3 here_m = place.packet->position_m.at(place.lane);
        const glm::vec3 face = place.packet->face_normal.at(place.lane);
        for (const LampInstants& probe : leg.probes.front())
            for (int i = 0; i < packet_size; ++i) {
                const glm::vec3 off_m = probe.position_m.at(i) - here_m;
                const float away_m = glm::length(off_m);
                const float height_m = glm::dot(off_m, face);
                least.distance_m = std::min(least.distance_m, away_m);
                if (height_m > 0.0f) least.cosine = std::min(least.cosine, height_m / away_m);
            }
    }
    return least;
}

/// The lamp at `time_s(i)` goes to table[i], sixteen at a time.
template <class Time>
void fill_instants(const LampTrack& track, Time time_s, LampInstant* table, std::size_t count) {
    for (std::size_t first = 0; first < count; first += packet_size) {
        Lanes times_s;
        for (std::size_t i = 0; i < packet_size; ++i) times_s.lane[i] = time_s(first + i);
        LampInstants lamp;
        track.at(times_s, lamp);
        for (std::size_t i = 0; i < packet_size && first + i < count; ++i)
            table[first + i] = {lamp.position_m.at(static_cast<int>(i)),
                                lamp.aim.at(static_cast<int>(i))};
    }
}

/// Places on the lamp's face for the instants of sixteen receivers: those of a lattice of instants
/// are spread evenly over it, turned from receiver to receiver.
const std::array<std::array<glm::vec2, LightClock::instants>, packet_size>& face_places() {
    static const auto places = [] {
        std::array<std::array<glm::vec2, LightClock::instants>, packet_size> table;
        for (std::size_t receiver = 0; receiver < table.size(); ++receiver)
            for (std::uint32_t i = 0; i < LightClock::instants; ++i) {
                // Every (64/n)th instant: with its bits mirrored, n that follow each other.
                std::uint32_t mirrored = 0;
                for (std::uint32_t bit = 0; bit < 6; ++bit)
                    if ((i >> bit & 1u) != 0) mirrored |= 32u >> bit;
                table[receiver][i] = on_disc(
                    plane_place(mirrored, {0.0f, dither_place(static_cast<int>(receiver))}));
            }
        return table;
    }();
    return places;
}

/// Shadow rays to the lamp's face, a disc that looks at the point.
void aim_shadow_rays(const LampTrack& track, const ShadowRays& lines, RayPacket& shadow) {
    const auto& places = face_places();
    Lanes place_x, place_y;
    for (std::size_t i = 0; i < packet_size; ++i) {
        const glm::vec2& place = places[lines.receiver[i]][lines.instant[i]];
        place_x.lane[i] = track.face_radius_m() * place.x;
        place_y.lane[i] = track.face_radius_m() * place.y;
    }
    for (int i = 0; i < packet_size; ++i) {
        const glm::vec3 position_m = lines.position_m.at(i);
        const glm::vec3 origin_m = position_m + ray_offset_m(position_m) * lines.face_normal.at(i);
        const glm::vec3 to_lamp = lines.lamp.position_m.at(i) - origin_m;
        const float per_m = 1.0f / std::max(std::sqrt(glm::dot(to_lamp, to_lamp)), 1e-6f);
        const Across frame = across(-per_m * to_lamp);
        shadow.origin_m.set(i, origin_m);
        shadow.direction.set(i,
                             to_lamp + place_x[i] * frame.tangent + place_y[i] * frame.bitangent);
    }
}

}  // namespace

std::vector<LampLeg> legs_of(const LampTrack& track) {
    float height_m = longest_leg_m;
    for (int i = 0; i < 64; ++i)
        height_m =
            std::min(height_m,
                     track.at(track.lit_s() * (static_cast<float>(i) + 0.5f) / 64.0f).position_m.z);
    const float longest_m = std::clamp(leg_over_height * height_m, shortest_leg_m, longest_leg_m);
    const int count =
        std::clamp(static_cast<int>(std::ceil(track.path_length_m() / longest_m)), 1, most_legs);
    std::vector<LampLeg> legs(static_cast<std::size_t>(count));
    const float lit_s = track.lit_s() / static_cast<float>(count);
    for (std::size_t l = 0; l < legs.size(); ++l) {
        LampLeg& leg = legs[l];
        leg.from_s = lit_s * static_cast<float>(l);
        leg.lit_s = lit_s;
        leg.length_m = track.path_length_m() / static_cast<float>(count);
        std::size_t packets = 4;
        for (std::vector<LampInstants>& probes : leg.probes) {
            probes.resize(packets);
            const float step_s = lit_s / static_cast<float>(packets * packet_size);
            for (std::size_t p = 0; p < packets; ++p) {
                Lanes time_s;
                for (int i = 0; i < packet_size; ++i)
                    time_s[i] = leg.from_s + step_s * (static_cast<float>(p * packet_size) +
                                                       static_cast<float>(i) + 0.5f);
                track.at(time_s, probes[p]);
            }
            packets *= 4;
        }
    }
    return legs;
}

LightClock::LightClock(const LampTrack& track, const LampLeg& leg, std::span<const Place> places,
                       float shift)
    : shift_(shift) {
    std::size_t fineness = 0;
    float stretches = least_stretches;
    if (track.moves() && !places.empty()) {
        const Nearness least = nearness(leg, places);
        const float near_m = near_share * least.distance_m;
        float step_m = leg.length_m / static_cast<float>(leg.probes[0].size() * packet_size);
        for (; fineness + 1 < leg.probes.size() && step_m > near_m; step_m *= 0.25f) ++fineness;
        const float times = leg.length_m / std::max(least.distance_m, 0.01f);
        stretches =
            std::clamp(0.5f * times * times,
                       least.cosine < low_lamp_cosine ? least_under_low_lamp : least_stretches,
                       even_stretches_at_most);
    }

    const std::vector<LampInstants>& probes = leg.probes[fineness];
    LightByTime light;
    if (track.moves())
        light = light_by_time(track, probes, places);
    else
        light.assign(probes.size() * packet_size, 0.0f);
    const std::vector<float> probed = light;
    const float total = std::accumulate(light.begin(), light.end(), 0.0f);
    const auto steps = static_cast<float>(light.size());
    for (float& share : light)
        share =
            total > 0.0f ? (1.0f - even_share) * share / total + even_share / steps : 1.0f / steps;

    // Inverts the running sum of the shares at even steps.
    const float step_s = leg.lit_s / steps;
    std::size_t step = 0;
    float before = 0.0f;
    for (int i = 0; i <= instants; ++i) {
        const float wanted = static_cast<float>(i) / instants;
        while (step + 1 < light.size() && before + light[step] < wanted) before += light[step++];
        const float within = std::clamp((wanted - before) / light[step], 0.0f, 1.0f);
        edges_s_[static_cast<std::size_t>(i)] =
            leg.from_s + step_s * (static_cast<float>(step) + within);
    }
    edges_s_.front() = leg.from_s;
    edges_s_.back() = leg.from_s + leg.lit_s;
    set_instants(track);
    set_stretches(track, leg, probed, static_cast<int>(stretches));
}

void LightClock::set_instants(const LampTrack& track) {
    for (std::size_t i = 0; i < instants; ++i)
        rate_s_[i] = static_cast<float>(instants) * (edges_s_[i + 1] - edges_s_[i]);
    fill_instants(
        track,
        [&](std::size_t i) { return edges_s_[i] + shift_ * (edges_s_[i + 1] - edges_s_[i]); },
        lamp_.data(), instants);
    // An instant stands for half a step on either side of it, whatever steps of the clock that is.
    const std::size_t aside = shift_ < 0.5f ? 0 : 2;
    const float share = std::abs(shift_ - 0.5f);
    for (std::size_t i = 0; i < instants; ++i) {
        const std::size_t beside = std::clamp<std::size_t>(i + aside, 1, instants) - 1;
        shifted_rate_s_[i] = (1.0f - share) * rate_s_[i] + share * rate_s_[beside];
    }
}

void LightClock::set_stretches(const LampTrack& track, const LampLeg& leg,
                               std::span<const float> light, int even) {
    std::vector<float> ends_s;
    const float until_s = leg.from_s + leg.lit_s;
    for (const float jump_s : track.edges_s())
        if (jump_s > leg.from_s && jump_s < until_s) ends_s.push_back(jump_s);
    if (ends_s.size() > most_jumps) ends_s.clear();
    const float step_s = leg.lit_s / static_cast<float>(light.size());
    for (std::size_t k = 1; k < light.size() && ends_s.size() < most_jumps + 4; ++k)
        if ((light[k] > 0.0f) != (light[k - 1] > 0.0f))
            ends_s.push_back(leg.from_s + step_s * static_cast<float>(k));
    even = std::min(even, static_cast<int>(most_stretches - ends_s.size()));
    for (int i = 0; i <= even; ++i)
        ends_s.push_back(edges_s_[static_cast<std::size_t>(i * instants / even)]);
    std::ranges::sort(ends_s);

    stretches_ = ends_s.size() - 1;
    for (std::size_t k = 0; k < stretches_; ++k) stretch_s_[k] = ends_s[k + 1] - ends_s[k];
    fill_instants(
        track,
        [&](std::size_t i) {
            const std::size_t k = std::min(i / 3, stretches_ - 1);
            return ends_s[k] + 0.5f * (1.0f + gauss_place[i % 3]) * stretch_s_[k];
        },
        gauss_.data(), 3 * stretches_);
}

void LightClock::aim(ShadowRays& lines, int lane, int instant) const {
    const auto i = static_cast<std::size_t>(instant);
    lines.lamp.position_m.set(lane, lamp_[i].position_m);
    lines.lamp.aim.set(lane, lamp_[i].aim);
    lines.rate_s[lane] = shifted_rate_s_[i];
}

void LightClock::aim(ShadowRays& lines, int lane, float instant, const LampTrack& track) const {
    // The clock is a ring: past its last instant comes its beginning.
    const float place = fraction((instant + shift_) / instants) * static_cast<float>(instants);
    const auto cell = std::min(static_cast<std::size_t>(place), std::size_t{instants - 1});
    const float width_s = edges_s_[cell + 1] - edges_s_[cell];
    const LampInstant lamp =
        track.at(edges_s_[cell] + (place - static_cast<float>(cell)) * width_s);
    lines.lamp.position_m.set(lane, lamp.position_m);
    lines.lamp.aim.set(lane, lamp.aim);
    lines.rate_s[lane] = static_cast<float>(instants) * width_s;
}

float LightClock::node_weight_s(std::size_t k) const {
    return 0.5f * gauss_weight[k % 3] * stretch_s_[k / 3];
}

Lanes LightClock::unshadowed_lxs(const LampTrack& track, const LaneVectors& position_m,
                                 const LaneVectors& normal, std::size_t first_node,
                                 std::size_t end_node) const {
    Lanes sum_lxs{};
    for (std::size_t k = first_node; k < end_node; ++k) {
        const float weight_s = node_weight_s(k);
        Lanes light_lx;
        unshadowed_lx(track, AllLanes{gauss_[k]}, position_m, normal, light_lx);
        for (int i = 0; i < packet_size; ++i) sum_lxs[i] += weight_s * light_lx[i];
    }
    return sum_lxs;
}

ShadowTest shadow_test(const LampTrack& track, const RayQuery& rays, const ShadowRays& lines) {
    ShadowTest seen;
    unshadowed_lx(track, EachLane{lines.lamp}, lines.position_m, lines.normal, seen.light_lxs);
    for (int i = 0; i < packet_size; ++i) {
        seen.light_lxs[i] *= lines.rate_s[i];
        if (seen.light_lxs[i] > 0.0f) seen.asked |= 1u << i;
    }
    seen.asked &= lines.active;
    if (seen.asked == 0) return seen;
    RayPacket shadow;
    shadow.reach.lane.fill(shadow_reach);
    shadow.active = seen.asked;
    aim_shadow_rays(track, lines, shadow);
    seen.lit = seen.asked & ~rays.occluded(shadow);
    return seen;
}

}  // namespace lampflight
