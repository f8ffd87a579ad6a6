#include "renderer/surface_light/lamps_in_cache.h"

#include <algorithm>
#include <bit>

#include "renderer/lamp_light/shutter_integral.h"
#include "renderer/sampling/low_discrepancy.h"
#include "renderer/surface_light/cell_packets.h"
#include "renderer/surface_light/refine_irradiance_cache.h"

namespace lampflight {
namespace {

/// Lux seconds at each point, by so many instants of each lane's own. `clocks` holds one for all
/// or one for each.
Lanes arrived(const LampTrack& track, const RayQuery& rays, std::span<const LightClock> clocks,
              const SurfacePacket& points, int instants) {
    Lanes sum_lxs{};
    const int step = LightClock::instants / instants;
    const float share = 1.0f / static_cast<float>(instants);
    for (int k = 0; k < instants; ++k) {
        ShadowRays lines{};
        for (int i = 0; i < packet_size; ++i)
            if (has_lane(points.found, i)) {
                const auto rank = static_cast<int>(dither_rank[static_cast<std::size_t>(i)]);
                lines.set(i, points, i, step * k + rank % step);
                const std::size_t clock = clocks.size() == 1 ? 0 : static_cast<std::size_t>(i);
                clocks[clock].aim(lines, i, step * k + rank % step);
            }
        const ShadowTest seen = shadow_test(track, rays, lines);
        for (int i = 0; i < packet_size; ++i)
            if (has_lane(seen.lit, i)) sum_lxs[i] += share * seen.light_lxs[i];
    }
    return sum_lxs;
}

/// One clock for all points, or one for each where a narrow beam does not light them alike.
std::vector<LightClock> clocks_of(const LampTrack& lamp, const LampLeg& leg,
                                  const SurfacePacket& points, float shift) {
    std::vector<LightClock::Place> places;
    for (int i = 0; i < std::popcount(points.found); ++i) places.push_back({&points, i});
    std::vector<LightClock> clocks;
    clocks.emplace_back(lamp, leg, places, shift);
    if (clocks.front().alike() || !lamp.moves()) return clocks;
    clocks.clear();
    for (const LightClock::Place& place : places)
        clocks.emplace_back(lamp, leg, std::span(&place, 1), shift);
    return clocks;
}

/// Fills in the light of a lamp at the points that have none yet.
void add_lamp(const Geometry& geometry, const SurfacePoints& points, const LampTrack& lamp,
              int instants, LumenIrradiance& light) {
    const std::size_t known = light.size();
    light.resize(points.position_m.size(), 0.0f);
    const std::vector<LampLeg> legs = legs_of(lamp);
    for_each_packet(
        points, {known, light.size()}, [&](std::size_t first, const SurfacePacket& packet) {
            const float shift = hashed_place(static_cast<std::uint32_t>(first), 3);
            for (const LampLeg& leg : legs) {
                const Lanes arrived_lxs = arrived(
                    lamp, geometry.rays(), clocks_of(lamp, leg, packet, shift), packet, instants);
                for (std::size_t i = 0; i < packet_size && first + i < light.size(); ++i)
                    light[first + i] += arrived_lxs.lane[i];
            }
        });
}

/// Of the light at a cell's two points.
void take_means(const std::vector<LumenIrradiance>& far, std::vector<LumenIrradiance>& light) {
    for (std::size_t k = 0; k < far.size(); ++k)
        for (std::size_t c = 0; c < far[k].size(); ++c)
            light[k][c] = 0.5f * (light[k][c] + far[k][c]);
}

CachedIrradiance times_flux(const LampTrack& lamp, const LumenIrradiance& light) {
    CachedIrradiance of_lamp(light.size());
    std::ranges::transform(light, of_lamp.begin(), [&](float lxs) { return lxs * lamp.flux_lm(); });
    return of_lamp;
}

}  // namespace

std::optional<LampsInCache> lamps_in_cache(const Geometry& geometry,
                                           std::span<const LampTrack* const> lamps, int instants,
                                           const std::stop_token& stop, IrradianceCache& cells) {
    std::vector<LumenIrradiance> light(lamps.size()), far(lamps.size());
    const auto add_lamps = [&](const SurfacePoints& points, int each,
                               std::vector<LumenIrradiance>& to) {
        for (std::size_t k = 0; k < to.size() && !stop.stop_requested(); ++k)
            add_lamp(geometry, points, *lamps[k], each, to[k]);
        return !stop.stop_requested();
    };
    const int half = std::max(1, instants / 2);
    if (!add_lamps(cells, half, light) || !add_lamps(cells.far, half, far)) return std::nullopt;
    const LightMixture mixture(geometry, cells, light);
    // Of finer cells many share what a coarse one has for itself: each needs fewer instants.
    const int few = std::max(1, instants / 4);
    const std::size_t most = cells.position_m.size() / 2;
    refine_to_vertices(geometry, mixture, light, far, most, cells);
    take_means(far, light);
    if (!add_lamps(cells, few, light)) return std::nullopt;
    refine_triangles(geometry, mixture, light, most, cells);
    if (!add_lamps(cells, few, light)) return std::nullopt;
    LampsInCache found{{}, LitPatches(geometry, cells, mixture, light)};
    for (std::size_t k = 0; k < lamps.size(); ++k)
        found.light_lxs.push_back(times_flux(*lamps[k], light[k]));
    return found;
}

}  // namespace lampflight
