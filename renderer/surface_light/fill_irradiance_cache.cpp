#include "renderer/surface_light/fill_irradiance_cache.h"

#include <utility>

#include "renderer/surface_light/cell_packets.h"
#include "renderer/surface_light/direct_light.h"
#include "renderer/surface_light/final_gather.h"

namespace lampflight {
namespace {

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
