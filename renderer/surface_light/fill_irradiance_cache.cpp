#include "renderer/surface_light/fill_irradiance_cache.h"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <bit>

#include "renderer/lamp_light/shutter_integral.h"
#include "renderer/sampling/low_discrepancy.h"
#include "renderer/surface_light/direct_light.h"
#include "renderer/surface_light/final_gather.h"

namespace lampflight {
namespace {

/// Which cells: from one up to before another.
struct CellRange {
    std::size_t first;
    std::size_t end;
};

SurfacePacket packet_of(const SurfacePoints& all, const CellRange& range) {
    SurfacePacket points{};
    for (int i = 0; i < packet_size; ++i) {
        const std::size_t cell = range.first + static_cast<std::size_t>(i);
        if (cell >= range.end) break;
        points.position_m.set(i, all.position_m[cell]);
        points.normal.set(i, all.normal[cell]);
        points.face_normal.set(i, all.normal[cell]);
        points.found |= 1u << i;
    }
    return points;
}

/// Calls `visit(first cell, packet)` for sixteen cells at a time, in parallel.
template <class Visit>
void for_each_packet(const SurfacePoints& all, const CellRange& cells, Visit visit) {
    const std::size_t packets = (cells.end - cells.first + packet_size - 1) / packet_size;
    tbb::parallel_for(tbb::blocked_range<std::size_t>(0, packets, 64), [&](const auto& range) {
        for (std::size_t p = range.begin(); p != range.end(); ++p)
            visit(cells.first + p * packet_size,
                  packet_of(all, {cells.first + p * packet_size, cells.end}));
    });
}

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

CachedIrradiance sum_of(const CachedIrradiance& a, const CachedIrradiance& b) {
    CachedIrradiance sum = a;
    for (std::size_t c = 0; c < sum.size(); ++c) sum[c] += b[c];
    return sum;
}

/// A sky's light on a packet of cells, the first of which is `first`.
void add_sky(const Geometry& geometry, const Sky& sky, const SurfacePacket& points,
             const GatheredSky& gathered, const GatherPattern& pattern, std::size_t first,
             CachedIrradiance& light_lx) {
    for (std::size_t i = 0; i < packet_size && has_lane(points.found, static_cast<int>(i)); ++i)
        light_lx[first + i] +=
            gathered.bounced_lx[i] + seen_share(gathered.seen_lx[i], gathered.asked_lx[i]) *
                                         sky.irradiance_lx(points.normal.at(static_cast<int>(i)));
    for (const SunMoonDisc& disc : sky.direct()) {
        const auto disc_lx = direct_lx(geometry, disc, points, {1, pattern.packet, pattern.seed});
        for (std::size_t i = 0; i < packet_size && has_lane(points.found, static_cast<int>(i)); ++i)
            light_lx[first + i] += disc_lx[i];
    }
}

/// What gathers over the hemisphere changes slowly: finer cells take it from the others.
void blend_fine(const IrradianceCache& cells, CachedIrradiance& light) {
    const std::size_t coarse = cells.coarse_cells();
    for (std::size_t k = 0; k < cells.blend_of_fine.size(); ++k) {
        const auto& [cell, share] = cells.blend_of_fine[k];
        light[coarse + k] =
            share[0] * light[cell[0]] + share[1] * light[cell[1]] + share[2] * light[cell[2]];
    }
}

/// One gathering in every cell from the light of the round before.
BouncedLight one_round(const Geometry& geometry, const IrradianceCache& cells,
                       const std::vector<const Sky*>& skies, const BouncedLight* before,
                       int directions) {
    const CachedIrradiance dark(cells.position_m.size(), glm::vec3(0.0f));
    BouncedLight round;
    round.skies_lx.assign(skies.size(), dark);
    if (before != nullptr) round.lamps_lxs.assign(before->lamps_lxs.size(), dark);
    const SkySampler shining(skies);
    const Surroundings around{geometry, skies, shining, cells, before};
    const std::size_t coarse = cells.coarse_cells();
    for_each_packet(cells, {0, coarse}, [&](std::size_t first, const SurfacePacket& points) {
        Gathered gathered;
        const GatherPattern pattern{directions, 0, static_cast<std::uint32_t>(first)};
        final_gather(around, points, pattern, nullptr, gathered);
        for (std::size_t s = 0; s < skies.size(); ++s)
            add_sky(geometry, *skies[s], points, gathered.skies[s], pattern, first,
                    round.skies_lx[s]);
        for (std::size_t i = 0; i < packet_size && first + i < coarse; ++i)
            for (std::size_t k = 0; k < round.lamps_lxs.size(); ++k)
                round.lamps_lxs[k][first + i] = gathered.lamps_lxs[k][i];
    });
    for (CachedIrradiance& light : round.lamps_lxs) blend_fine(cells, light);
    return round;
}

}  // namespace

void add_lamp(const Geometry& geometry, const SurfacePoints& points, const LampTrack& track,
              int instants, LumenIrradiance& light) {
    const std::size_t known = light.size();
    light.resize(points.position_m.size(), 0.0f);
    const std::vector<LampLeg> legs = legs_of(track);
    const auto add_group = [&](std::size_t first, const SurfacePacket& packet,
                               std::span<const LightClock> clocks) {
        const Lanes arrived_lxs = arrived(track, geometry.rays(), clocks, packet, instants);
        for (std::size_t i = 0; i < packet_size && first + i < light.size(); ++i)
            light[first + i] += arrived_lxs.lane[i];
    };
    for_each_packet(points, {known, light.size()},
                    [&](std::size_t first, const SurfacePacket& packet) {
                        std::vector<LightClock::Place> places;
                        for (int i = 0; i < std::popcount(packet.found); ++i)
                            places.push_back({&packet, i});
                        const float shift = hashed_place(static_cast<std::uint32_t>(first), 3);
                        for (const LampLeg& leg : legs) {
                            std::vector<LightClock> clocks;
                            clocks.emplace_back(track, leg, places, shift);
                            if (!clocks.front().alike() && track.moves()) {
                                clocks.clear();
                                for (const LightClock::Place& place : places)
                                    clocks.emplace_back(track, leg, std::span(&place, 1), shift);
                            }
                            add_group(first, packet, clocks);
                        }
                    });
}

CachedIrradiance of_lamp(const LampTrack& track, const LumenIrradiance& light) {
    CachedIrradiance coloured(light.size());
    std::ranges::transform(light, coloured.begin(),
                           [&](float lxs) { return lxs * track.flux_lm(); });
    return coloured;
}

BouncedLight bounce_in_cache(const Geometry& geometry, const IrradianceCache& cells,
                             const std::vector<const Sky*>& skies,
                             const std::vector<CachedIrradiance>& lamps_lxs, int bounces,
                             int directions) {
    BouncedLight total = one_round(geometry, cells, skies, nullptr, directions);
    total.lamps_lxs = lamps_lxs;
    for (int bounce = 1; bounce < bounces; ++bounce) {
        // Each round gathers all that was found before; the sky's own light comes with the rays,
        // a lamp's direct light is added back.
        BouncedLight round = one_round(geometry, cells, skies, &total, directions);
        total.skies_lx = std::move(round.skies_lx);
        for (std::size_t k = 0; k < lamps_lxs.size(); ++k)
            total.lamps_lxs[k] = sum_of(lamps_lxs[k], round.lamps_lxs[k]);
    }
    return total;
}

}  // namespace lampflight
