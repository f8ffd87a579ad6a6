#include "renderer/shutter_integral.h"

#include <algorithm>
#include <cmath>

#include "renderer/directions.h"
#include "renderer/low_discrepancy.h"

namespace lampflight {
namespace {

constexpr int probe_times = 64;     // where the density of strata is set
constexpr float even_share = 0.25f;  // of the strata, spread evenly whatever the light does
constexpr float usual_path_m = 30.0f;
constexpr float most_longer = 8.0f;

// A shadow ray stops short of the lamp's own place.
constexpr float shadow_reach = 0.9999f;

/// Unshadowed light at the probe times from a few points of each packet, each point's total
/// counting alike.
std::array<float, probe_times> light_by_time(const LampTrack& track,
                                             std::span<const SurfacePacket> points) {
    std::array<float, probe_times> light{};
    for (std::size_t p = 0; p < points.size(); ++p) {
        // Two lanes a packet, others in the next one: all corners of the block are heard.
        for (const std::size_t lane : {p * 5 % packet_size, (p * 5 + 10) % packet_size}) {
            const int i = static_cast<int>(lane);
            if (!has_lane(points[p].found, i)) continue;
            std::array<float, probe_times> here{};
            float total = 0.0f;
            for (int k = 0; k < probe_times; ++k) {
                const float time_s =
                    track.lit_s() * (static_cast<float>(k) + 0.5f) / probe_times;
                here[static_cast<std::size_t>(k)] = unshadowed_lx(
                    track, track.at(time_s), points[p].position_m.at(i), points[p].normal.at(i));
                total += here[static_cast<std::size_t>(k)];
            }
            if (total <= 0.0f) continue;
            for (std::size_t k = 0; k < probe_times; ++k) light[k] += here[k] / total;
        }
    }
    return light;
}

int strata_count(const LampTrack& track, int count) {
    if (!track.moves()) return count;
    const float longer = std::clamp(track.path_length_m() / usual_path_m, 1.0f, most_longer);
    return static_cast<int>(std::lround(static_cast<float>(count) * longer / 16.0f)) * 16;
}

/// A place on the lamp's face as seen from a point: uniform over the disc.
glm::vec3 on_face(const glm::vec3& lamp_m, const glm::vec3& point_m, float radius_m,
                  const glm::vec2& place) {
    const Across frame = across(glm::normalize(point_m - lamp_m));
    const glm::vec2 disc = radius_m * on_disc(place);
    return lamp_m + disc.x * frame.tangent + disc.y * frame.bitangent;
}

}  // namespace

float unshadowed_lx(const LampTrack& track, const LampInstant& instant, const glm::vec3& position_m,
                    const glm::vec3& normal) {
    const glm::vec3 to_lamp = instant.position_m - position_m;
    const float along = glm::dot(to_lamp, normal);
    if (along <= 0.0f) return 0.0f;
    const float square_m2 = glm::dot(to_lamp, to_lamp);
    const float distance_m = std::sqrt(square_m2);
    const float intensity_cd = track.intensity_cd(-glm::dot(to_lamp, instant.aim) / distance_m);
    const float face_m = track.face_radius_m();
    return intensity_cd * along / (distance_m * std::max(square_m2, face_m * face_m));
}

TimeStrata choose_strata(const LampTrack& track, std::span<const SurfacePacket> points,
                         int count) {
    const int strata = strata_count(track, count);
    TimeStrata edges_s(static_cast<std::size_t>(strata) + 1);
    if (!track.moves()) {
        for (int i = 0; i <= strata; ++i)
            edges_s[static_cast<std::size_t>(i)] =
                track.lit_s() * static_cast<float>(i) / static_cast<float>(strata);
        return edges_s;
    }
    std::array<float, probe_times> light = light_by_time(track, points);
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

Lanes lamp_exposure_lxs(const LampTrack& track, const RayQuery& rays, const SurfacePacket& points,
                        const TimeStrata& strata, const TimeComb& comb) {
    Lanes exposure_lxs{};
    const int count = static_cast<int>(strata.size()) - 1;
    RayPacket shadow;
    shadow.reach.lane.fill(shadow_reach);
    for (int k = comb.first; k < count; k += comb.step) {
        const float from_s = strata[static_cast<std::size_t>(k)];
        const float width_s = strata[static_cast<std::size_t>(k) + 1] - from_s;
        const float shift = golden_place(static_cast<std::uint32_t>(k), comb.shift);
        Lanes weight{};
        shadow.active = 0;
        for (int i = 0; i < packet_size; ++i) {
            if (!has_lane(points.found, i)) continue;
            const float place = fraction(dither_place(i) + shift);
            const LampInstant instant = track.at(from_s + place * width_s);
            const glm::vec3 position_m = points.position_m.at(i);
            const float light_lx =
                unshadowed_lx(track, instant, position_m, points.normal.at(i));
            if (light_lx <= 0.0f) continue;
            weight[i] = light_lx * width_s;
            const glm::vec3 origin_m =
                position_m + clearance_m(position_m) * points.face_normal.at(i);
            const glm::vec2 face_place =
                plane_place(static_cast<std::uint32_t>(k), glm::vec2(place, comb.shift));
            const glm::vec3 lamp_m =
                on_face(instant.position_m, position_m, track.face_radius_m(), face_place);
            shadow.origin_m.set(i, origin_m);
            shadow.direction.set(i, lamp_m - origin_m);
            shadow.active |= 1u << i;
        }
        if (shadow.active == 0) continue;
        const LaneMask blocked = rays.occluded(shadow);
        for (int i = 0; i < packet_size; ++i)
            if (has_lane(shadow.active & ~blocked, i)) exposure_lxs[i] += weight[i];
    }
    for (float& lane : exposure_lxs.lane) lane *= static_cast<float>(comb.step);
    return exposure_lxs;
}

}  // namespace lampflight
