// How a light clock is set and read.
#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "renderer/lamp_light/beam_passage.h"
#include "renderer/lamp_light/shutter_integral.h"
#include "renderer/lamp_light/unshadowed_light.h"
#include "renderer/sampling/low_discrepancy.h"

namespace lampflight {
namespace {

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
constexpr std::size_t most_even_stretches = 32;
constexpr std::size_t most_jumps = 16;  // more flashes than this go by as one glow

constexpr std::size_t most_probed = 5;  // of the places that share a clock

// Narrower lobes are not smooth over even shares of the light: the rule lost 0.07 % of the light of
// a beam of 30 degrees (22 degrees of lobe), a fifth of one of 1.
constexpr float narrowest_smooth_rad = 0.42f;

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

/// The light of a leg's even steps.
std::vector<PassageStep> even_steps(const LampTrack& track, const LampLeg& leg,
                                    std::span<const LampInstants> probes,
                                    std::span<const LightClock::Place> places) {
    LightByTime light(probes.size() * packet_size, 0.0f);
    if (track.moves()) light = light_by_time(track, probes, places);
    const float step_s = leg.lit_s / static_cast<float>(light.size());
    std::vector<PassageStep> steps(light.size());
    for (std::size_t k = 0; k < steps.size(); ++k)
        steps[k] = {leg.from_s + step_s * static_cast<float>(k), step_s, light[k], 0.0f, true};
    return steps;
}

/// A few places that stand for all, spread evenly.
std::vector<LightClock::Place> some_of(std::span<const LightClock::Place> places) {
    std::vector<LightClock::Place> few(std::min(most_probed, places.size()));
    for (std::size_t p = 0; p < few.size(); ++p)
        few[p] = places[(2 * p + 1) * places.size() / (2 * few.size())];
    return few;
}

Patch patch_of(std::span<const LightClock::Place> all, std::span<const LightClock::Place> few) {
    Patch patch;
    glm::vec3 low_m(std::numeric_limits<float>::infinity());
    glm::vec3 high_m = -low_m;
    for (const LightClock::Place& place : all) {
        const glm::vec3 here_m = place.packet->position_m.at(place.lane);
        low_m = glm::min(low_m, here_m);
        high_m = glm::max(high_m, here_m);
    }
    patch.middle_m = 0.5f * (low_m + high_m);
    patch.radius_m = 0.5f * glm::distance(low_m, high_m);
    for (const LightClock::Place& place : few)
        patch.normal[patch.normals++] = place.packet->normal.at(place.lane);
    return patch;
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

/// Shares of the clock.
std::vector<float> shares_of(std::span<const PassageStep> steps, const LampLeg& leg) {
    float total = 0.0f;
    for (const PassageStep& step : steps) total += step.light_lx * step.lasts_s;
    std::vector<float> shares(steps.size());
    for (std::size_t k = 0; k < steps.size(); ++k) {
        const float evenly = steps[k].lasts_s / leg.lit_s;
        shares[k] = total > 0.0f
                        ? (1.0f - even_share) * steps[k].light_lx * steps[k].lasts_s / total +
                              even_share * evenly
                        : evenly;
    }
    return shares;
}

/// Times at which the lamp jumps across the dark, if they are few.
std::vector<float> jumps_in(const LampTrack& track, const LampLeg& leg) {
    std::vector<float> jumps_s;
    for (const float jump_s : track.edges_s())
        if (jump_s > leg.from_s && jump_s < leg.from_s + leg.lit_s) jumps_s.push_back(jump_s);
    if (jumps_s.size() > most_jumps) jumps_s.clear();
    return jumps_s;
}

/// Ends of stretches amid which the beam neither turns by more than a rule takes for smooth, nor
/// carries more than a share of the clock, nor comes into reach of the points.
std::vector<float> turning_ends(const LampTrack& track, const LampLeg& leg,
                                std::span<const PassageStep> steps, std::span<const float> shares,
                                float most_share) {
    std::vector<float> ends_s = jumps_in(track, leg);
    ends_s.push_back(leg.from_s);
    float turned = steps.front().turned;
    float share = shares.front();
    for (std::size_t k = 1; k < steps.size(); ++k) {
        turned += steps[k].turned;
        share += shares[k];
        if (turned <= 1.0f && share <= most_share && steps[k].reached == steps[k - 1].reached)
            continue;
        ends_s.push_back(steps[k].from_s);
        turned = steps[k].turned;
        share = shares[k];
    }
    ends_s.push_back(leg.from_s + leg.lit_s);
    return ends_s;
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

}  // namespace

LightClock::LightClock(const LampTrack& track, const LampLeg& leg, std::span<const Place> places,
                       float shift)
    : shift_(shift) {
    const std::vector<Place> few = some_of(places);
    const Nearness least = nearness(leg, few);
    std::size_t fineness = 0;
    float stretches = least_stretches;
    if (track.moves() && !places.empty()) {
        const float near_m = near_share * least.distance_m;
        float step_m = leg.length_m / static_cast<float>(leg.probes[0].size() * packet_size);
        for (; fineness + 1 < leg.probes.size() && step_m > near_m; step_m *= 0.25f) ++fineness;
        const float times = leg.length_m / std::max(least.distance_m, 0.01f);
        stretches =
            std::clamp(0.5f * times * times,
                       least.cosine < low_lamp_cosine ? least_under_low_lamp : least_stretches,
                       even_stretches_at_most);
    }

    const bool by_even_steps = places.empty() || track.lobe_rad() > narrowest_smooth_rad;
    std::vector<PassageStep> steps;
    if (by_even_steps) {
        steps = even_steps(track, leg, leg.probes[fineness], few);
    } else {
        BeamPassage passage =
            beam_passage(track, patch_of(places, few), leg.from_s, leg.lit_s, leg.probes[fineness]);
        alike_ = passage.alike;
        steps = std::move(passage.steps);
    }
    const std::vector<float> shares = shares_of(steps, leg);
    set_edges(leg, steps, shares);
    set_instants(track);
    std::vector<float> ends_s = by_even_steps
                                    ? even_ends(track, leg, steps, static_cast<int>(stretches))
                                    : turning_ends(track, leg, steps, shares, 1.0f / stretches);
    std::ranges::sort(ends_s);
    set_stretches(track, ends_s);
}

/// Inverts the running sum of the shares at even steps.
void LightClock::set_edges(const LampLeg& leg, std::span<const PassageStep> steps,
                           std::span<const float> shares) {
    std::size_t step = 0;
    float before = 0.0f;
    for (std::size_t i = 0; i <= instants; ++i) {
        const float wanted = static_cast<float>(i) / instants;
        while (step + 1 < steps.size() && before + shares[step] < wanted) before += shares[step++];
        const float within = std::clamp((wanted - before) / shares[step], 0.0f, 1.0f);
        edges_s_[i] = steps[step].from_s + steps[step].lasts_s * within;
    }
    edges_s_.front() = leg.from_s;
    edges_s_.back() = leg.from_s + leg.lit_s;
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

/// Stretches that end where the lamp jumps across the dark or its light sets in or ends, and after
/// even shares of the clock.
std::vector<float> LightClock::even_ends(const LampTrack& track, const LampLeg& leg,
                                         std::span<const PassageStep> steps, int even) const {
    std::vector<float> ends_s = jumps_in(track, leg);
    for (std::size_t k = 1; k < steps.size() && ends_s.size() < most_jumps + 4; ++k)
        if ((steps[k].light_lx > 0.0f) != (steps[k - 1].light_lx > 0.0f))
            ends_s.push_back(steps[k].from_s);
    even = std::min(even, static_cast<int>(most_even_stretches - ends_s.size()));
    for (int i = 0; i <= even; ++i)
        ends_s.push_back(edges_s_[static_cast<std::size_t>(i * instants / even)]);
    return ends_s;
}

void LightClock::set_stretches(const LampTrack& track, std::span<const float> ends_s) {
    const std::size_t stretches = ends_s.size() - 1;
    stretch_s_.resize(stretches);
    for (std::size_t k = 0; k < stretches; ++k) stretch_s_[k] = ends_s[k + 1] - ends_s[k];
    gauss_.resize(3 * stretches);
    fill_instants(
        track,
        [&](std::size_t i) {
            const std::size_t k = std::min(i / 3, stretches - 1);
            return ends_s[k] + 0.5f * (1.0f + gauss_place[i % 3]) * stretch_s_[k];
        },
        gauss_.data(), gauss_.size());
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

float LightClock::unshadowed_lxs(const LampTrack& track, const glm::vec3& position_m,
                                 const glm::vec3& normal) const {
    const LaneVectors positions_m = everywhere(position_m);
    const LaneVectors normals = everywhere(normal);
    float sum_lxs = 0.0f;
    for (std::size_t first = 0; first < nodes(); first += packet_size) {
        const std::size_t count = std::min<std::size_t>(packet_size, nodes() - first);
        LampInstants lamp;
        for (std::size_t i = 0; i < packet_size; ++i) {
            const LampInstant& at = gauss_[first + std::min(i, count - 1)];
            lamp.position_m.set(static_cast<int>(i), at.position_m);
            lamp.aim.set(static_cast<int>(i), at.aim);
        }
        Lanes light_lx;
        unshadowed_lx(track, EachLane{lamp}, positions_m, normals, light_lx);
        for (std::size_t i = 0; i < count; ++i)
            sum_lxs += node_weight_s(first + i) * light_lx.lane[i];
    }
    return sum_lxs;
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

}  // namespace lampflight
