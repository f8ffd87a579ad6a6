#include "renderer/shutter_integral.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numeric>

#include "renderer/directions.h"
#include "renderer/low_discrepancy.h"

namespace lampflight {
namespace {

constexpr int probe_times = 64;      // where the density of strata is set
constexpr float dim_share = 0.25f;   // of the brightest point's light
constexpr float even_share = 0.35f;  // of the strata, spread evenly whatever the light does
constexpr float usual_path_m = 30.0f;
constexpr float most_longer = 8.0f;

// A shadow ray stops short of the lamp's own place.
constexpr float shadow_reach = 0.9999f;

/// Illuminance in lux at sixteen points, each with its own instant of the lamp, nothing in between.
/// The face is a disc that always looks at the point; within its radius the inverse square is cut
/// off.
void unshadowed_lx(const LampTrack& track, const LampInstants& lamp, const LaneVectors& position_m,
                   const LaneVectors& normal, Lanes& light_lx) {
    Lanes cos_to_aim, geometry;
    const float least_m2 = track.face_radius_m() * track.face_radius_m();
    for (int i = 0; i < packet_size; ++i) {
        const float x = lamp.position_m.x[i] - position_m.x[i];
        const float y = lamp.position_m.y[i] - position_m.y[i];
        const float z = lamp.position_m.z[i] - position_m.z[i];
        const float square_m2 = std::max(x * x + y * y + z * z, 1e-12f);
        const float per_m = 1.0f / std::sqrt(square_m2);
        const float along = (x * normal.x[i] + y * normal.y[i] + z * normal.z[i]) * per_m;
        cos_to_aim[i] = -(x * lamp.aim.x[i] + y * lamp.aim.y[i] + z * lamp.aim.z[i]) * per_m;
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

/// Instants of the probe times, which all blocks share.
std::array<LampInstants, probe_times / packet_size> probes_of(const LampTrack& track) {
    std::array<LampInstants, probe_times / packet_size> probes;
    for (std::size_t p = 0; p < probes.size(); ++p) {
        Lanes time_s;
        for (int i = 0; i < packet_size; ++i)
            time_s[i] = track.lit_s() *
                        (static_cast<float>(p * packet_size) + static_cast<float>(i) + 0.5f) /
                        probe_times;
        track.at(time_s, probes[p]);
    }
    return probes;
}

using LightByTime = std::array<float, probe_times>;

/// Unshadowed light of a few points of each packet at the probe times.
std::vector<LightByTime> probe(const LampTrack& track, std::span<const SurfacePacket> points) {
    std::vector<LightByTime> light;
    const auto probes = probes_of(track);
    for (std::size_t p = 0; p < points.size(); ++p) {
        // Two lanes a packet, others in the next one: all corners of the block are heard.
        for (const std::size_t lane : {p * 5 % packet_size, (p * 5 + 10) % packet_size}) {
            const int i = static_cast<int>(lane);
            if (!has_lane(points[p].found, i)) continue;
            const LaneVectors position_m = everywhere(points[p].position_m.at(i));
            const LaneVectors normal = everywhere(points[p].normal.at(i));
            LightByTime& here = light.emplace_back();
            for (std::size_t k = 0; k < probes.size(); ++k) {
                Lanes light_lx;
                unshadowed_lx(track, probes[k], position_m, normal, light_lx);
                std::ranges::copy(light_lx.lane, here.begin() + k * packet_size);
            }
        }
    }
    return light;
}

/// The most that any of the points gets of its own light, so that where they differ no one's bright
/// moment is passed over. Dim points count less: the pixel's light is not theirs.
LightByTime light_by_time(const LampTrack& track, std::span<const SurfacePacket> points) {
    const std::vector<LightByTime> probed = probe(track, points);
    std::vector<float> totals;
    for (const LightByTime& here : probed)
        totals.push_back(std::accumulate(here.begin(), here.end(), 0.0f));
    const float least = totals.empty() ? 0.0f : dim_share * std::ranges::max(totals);
    LightByTime light{};
    for (std::size_t p = 0; p < probed.size(); ++p) {
        const float total = std::max(totals[p], least);
        if (total <= 0.0f) continue;
        for (std::size_t k = 0; k < probe_times; ++k)
            light[k] = std::max(light[k], probed[p][k] / total);
    }
    return light;
}

int strata_count(const LampTrack& track, int count) {
    if (!track.moves()) return count;
    const float longer = std::clamp(track.path_length_m() / usual_path_m, 1.0f, most_longer);
    return static_cast<int>(std::lround(static_cast<float>(count) * longer / 8.0f)) * 8;
}

/// Points of the unit disc for the lamp's face, taken in turn.
const std::array<glm::vec2, 64>& face_places() {
    static const auto places = [] {
        std::array<glm::vec2, 64> table;
        for (std::size_t i = 0; i < table.size(); ++i)
            table[i] = on_disc(plane_place(static_cast<std::uint32_t>(i)));
        return table;
    }();
    return places;
}

/// Shadow rays to the lamp's face, a disc that looks at the point.
void aim_shadow_rays(const LampTrack& track, const LampInstants& lamp, const SurfacePacket& points,
                     std::uint32_t stratum, RayPacket& shadow) {
    const auto& places = face_places();
    for (int i = 0; i < packet_size; ++i) {
        const glm::vec3 position_m = points.position_m.at(i);
        const glm::vec3 origin_m = position_m + clearance_m(position_m) * points.face_normal.at(i);
        const glm::vec3 to_lamp = lamp.position_m.at(i) - origin_m;
        const Across frame = across(-to_lamp / std::max(glm::length(to_lamp), 1e-6f));
        const glm::vec2 place =
            track.face_radius_m() *
            places[(stratum * 5 + 4 * dither_rank[static_cast<std::size_t>(i)]) % places.size()];
        shadow.origin_m.set(i, origin_m);
        shadow.direction.set(i, to_lamp + place.x * frame.tangent + place.y * frame.bitangent);
    }
}

float strata_width_s(const TimeStrata& strata, int k) {
    return strata[static_cast<std::size_t>(k) + 1] - strata[static_cast<std::size_t>(k)];
}

/// The lanes' instants in a stratum.
Lanes times_in(const TimeStrata& strata, int k, const TimeComb& comb) {
    const float from_s = strata[static_cast<std::size_t>(k)];
    const float width_s = strata_width_s(strata, k);
    const float shift = golden_place(static_cast<std::uint32_t>(k), comb.shift);
    Lanes time_s;
    for (int i = 0; i < packet_size; ++i)
        time_s[i] = from_s + width_s * fraction(dither_place(i) + shift);
    return time_s;
}

}  // namespace

TimeStrata choose_strata(const LampTrack& track, std::span<const SurfacePacket> points, int count) {
    const int strata = strata_count(track, count);
    TimeStrata edges_s(static_cast<std::size_t>(strata) + 1);
    if (!track.moves()) {
        for (int i = 0; i <= strata; ++i)
            edges_s[static_cast<std::size_t>(i)] =
                track.lit_s() * static_cast<float>(i) / static_cast<float>(strata);
        return edges_s;
    }
    LightByTime light = light_by_time(track, points);
    float total = 0.0f;
    for (const float share : light) total += share;
    for (float& share : light)
        share = total > 0.0f ? (1.0f - even_share) * share / total + even_share / probe_times
                             : 1.0f / probe_times;

    // Inverts the running sum of the shares at even steps.
    const float cell_s = track.lit_s() / probe_times;
    std::size_t cell = 0;
    float before = 0.0f;
    for (int i = 0; i <= strata; ++i) {
        const float wanted = static_cast<float>(i) / static_cast<float>(strata);
        while (cell + 1 < probe_times && before + light[cell] < wanted) before += light[cell++];
        const float within = std::clamp((wanted - before) / light[cell], 0.0f, 1.0f);
        edges_s[static_cast<std::size_t>(i)] = cell_s * (static_cast<float>(cell) + within);
    }
    edges_s.front() = 0.0f;
    edges_s.back() = track.lit_s();
    return edges_s;
}

Lanes unshadowed_lxs(const LampTrack& track, const SurfacePacket& points, const TimeStrata& strata,
                     const TimeComb& comb) {
    Lanes sum_lxs{};
    const int count = static_cast<int>(strata.size()) - 1;
    LampInstants lamp;
    Lanes light_lx;
    for (int k = comb.first; k < count; k += comb.step) {
        const float weight_s = strata_width_s(strata, k) * static_cast<float>(comb.step);
        track.at(times_in(strata, k, comb), lamp);
        unshadowed_lx(track, lamp, points.position_m, points.normal, light_lx);
        for (int i = 0; i < packet_size; ++i) sum_lxs[i] += weight_s * light_lx[i];
    }
    return sum_lxs;
}

ArrivedLight arrived_light(const LampTrack& track, const RayQuery& rays,
                           const SurfacePacket& points, const TimeStrata& strata,
                           const TimeComb& comb) {
    ArrivedLight found;
    const int count = static_cast<int>(strata.size()) - 1;
    RayPacket shadow;
    shadow.reach.lane.fill(shadow_reach);
    LampInstants lamp;
    Lanes light_lx;
    for (int k = comb.first; k < count; k += comb.step) {
        track.at(times_in(strata, k, comb), lamp);
        unshadowed_lx(track, lamp, points.position_m, points.normal, light_lx);
        shadow.active = 0;
        for (int i = 0; i < packet_size; ++i)
            if (light_lx[i] > 0.0f) shadow.active |= 1u << i;
        shadow.active &= points.found;
        if (shadow.active == 0) continue;
        aim_shadow_rays(track, lamp, points, static_cast<std::uint32_t>(k), shadow);
        const LaneMask dark = rays.occluded(shadow);
        const LaneMask lit = shadow.active & ~dark;
        found.lit += std::popcount(lit);
        found.dark += std::popcount(dark);
        const float weight_s = strata_width_s(strata, k) * static_cast<float>(comb.step);
        for (int i = 0; i < packet_size; ++i) {
            if (has_lane(shadow.active, i)) found.asked_lxs[i] += weight_s * light_lx[i];
            if (has_lane(lit, i)) found.arrived_lxs[i] += weight_s * light_lx[i];
        }
    }
    return found;
}

}  // namespace lampflight
