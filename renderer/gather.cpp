#include "renderer/gather.h"

#include <cmath>
#include <limits>

#include "renderer/directions.h"
#include "renderer/low_discrepancy.h"

namespace lampflight {
namespace {

/// Packet of one direction a point; where it would run into its own surface it stays inactive.
/// Every lane moves the place by a step of its own, so that the pixels of a block ask sixteen times
/// as many directions between them.
RayPacket hemisphere_rays(const SurfacePacket& points, const glm::vec2& place) {
    RayPacket rays;
    rays.active = 0;
    rays.reach.lane.fill(std::numeric_limits<float>::infinity());
    for (int i = 0; i < packet_size; ++i) {
        if (!has_lane(points.found, i)) continue;
        const glm::vec3 direction = cosine_direction(
            points.normal.at(i), plane_place(dither_rank[static_cast<std::size_t>(i)], place));
        rays.direction.set(i, direction);
        const glm::vec3 face = points.face_normal.at(i);
        if (glm::dot(direction, face) <= 0.0f) continue;
        const glm::vec3 position_m = points.position_m.at(i);
        rays.origin_m.set(i, position_m + clearance_m(position_m) * face);
        rays.active |= 1u << i;
    }
    return rays;
}

/// The skies in one direction. What little shows below the horizon comes with what is bounced.
void add_skies(const std::vector<const Sky*>& skies, const glm::vec3& direction, bool seen,
               std::size_t lane, std::vector<GatheredSky>& results) {
    const bool above = direction.z > 0.0f;
    if (!above && !seen) return;
    const SkyTable::Place place = SkyTable::place_of(direction);
    for (std::size_t s = 0; s < skies.size(); ++s) {
        const glm::vec3 light_lx =
            static_cast<float>(pi) * skies[s]->luminance_cd_m2(direction, place);
        GatheredSky& result = results[s];
        if (!above) {
            result.bounced_lx[lane] += light_lx;
            continue;
        }
        result.asked_lx[lane] += light_lx;
        if (seen) result.seen_lx[lane] += light_lx;
    }
}

/// What the hit surface sends back, from the cells of its triangle's corners.
void add_surface(const Stage& stage, const HitPacket& hits, int i, const LightCells& cells,
                 const BouncedLight& bounced, Gathered& result) {
    const auto lane = static_cast<std::size_t>(i);
    const std::uint32_t mesh = hits.mesh[lane];
    const std::uint32_t triangle = hits.triangle[lane];
    const Mesh& surface = *stage.meshes()[mesh];
    const auto& corner = surface.triangles[triangle];
    const auto& cell_of = cells.cell_of[mesh];
    const float u = hits.u[i];
    const float v = hits.v[i];
    const glm::vec3 reflectance(surface.materials[surface.material_of[triangle]].reflectance);
    const auto light = [&](const CellLight& source) {
        return reflectance * ((1.0f - u - v) * source[cell_of[corner[0]]] +
                              u * source[cell_of[corner[1]]] + v * source[cell_of[corner[2]]]);
    };
    for (std::size_t k = 0; k < bounced.skies_lx.size(); ++k)
        result.skies[k].bounced_lx[lane] += light(bounced.skies_lx[k]);
    for (std::size_t k = 0; k < bounced.lamps_lxs.size(); ++k)
        result.lamps_lxs[k][lane] += light(bounced.lamps_lxs[k]);
}

}  // namespace

void gather(const Stage& stage, const std::vector<const Sky*>& skies, const SurfacePacket& points,
            const LightCells& cells, const BouncedLight* bounced, const GatherPattern& pattern,
            Gathered& result) {
    result.skies.resize(skies.size());
    for (GatheredSky& sky : result.skies)
        for (auto* light_lx : {&sky.asked_lx, &sky.seen_lx, &sky.bounced_lx})
            light_lx->fill(glm::vec3(0.0f));
    result.lamps_lxs.resize(bounced != nullptr ? bounced->lamps_lxs.size() : 0);
    for (auto& lamp : result.lamps_lxs) lamp.fill(glm::vec3(0.0f));

    const glm::vec2 shift =
        plane_place(packet_size * pattern.packet,
                    {hashed_place(pattern.seed, 1), hashed_place(pattern.seed, 2)});
    for (int k = 0; k < pattern.count; ++k) {
        // A Fibonacci lattice over the square, moved as a whole.
        const glm::vec2 place{
            fraction(shift.x + (static_cast<float>(k) + 0.5f) / static_cast<float>(pattern.count)),
            golden_place(static_cast<std::uint32_t>(k), shift.y)};
        const RayPacket rays = hemisphere_rays(points, place);
        const HitPacket hits = stage.rays().closest(rays);
        for (int i = 0; i < packet_size; ++i) {
            if (!has_lane(points.found, i)) continue;
            const bool hit = has_lane(hits.hit, i);
            add_skies(skies, rays.direction.at(i), has_lane(rays.active, i) && !hit,
                      static_cast<std::size_t>(i), result.skies);
            if (hit && bounced != nullptr) add_surface(stage, hits, i, cells, *bounced, result);
        }
    }
    const float share = 1.0f / static_cast<float>(pattern.count);
    for (GatheredSky& sky : result.skies)
        for (auto* light_lx : {&sky.asked_lx, &sky.seen_lx, &sky.bounced_lx})
            for (glm::vec3& lane : *light_lx) lane *= share;
    for (auto& lamp : result.lamps_lxs)
        for (glm::vec3& lane : lamp) lane *= share;
}

}  // namespace lampflight
