#include "renderer/surface_light/final_gather.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "renderer/sampling/directions.h"
#include "renderer/sampling/low_discrepancy.h"

namespace lampflight {
namespace {

// One ray in so many goes where the skies shine.
constexpr std::uint32_t sky_every = 8;

/// A ray's weight beside one drawn by the cosine alone, where a share of all rays is drawn by the
/// skies with this density.
float weight_of(float cosine, float sky_per_sr, float sky_share) {
    const float per_sr = std::max(0.0f, cosine) * static_cast<float>(1.0 / pi);
    return per_sr / std::max((1.0f - sky_share) * per_sr + sky_share * sky_per_sr, 1e-20f);
}

/// One direction a point, and what it weighs beside one drawn by the cosine.
struct WeightedRays {
    RayPacket rays;
    Lanes weight{};
};

/// Where it would run into its own surface a ray stays inactive. Every lane moves the place by a
/// step of its own, so that the pixels of a block ask sixteen times as many directions between
/// them; an eighth of the lanes, other ones each `turn`, look where the skies shine.
WeightedRays hemisphere_rays(const SurfacePacket& points, const SkySampler& shining,
                             const glm::vec2& place, std::uint32_t turn) {
    WeightedRays drawn;
    RayPacket& rays = drawn.rays;
    rays.active = 0;
    rays.reach.lane.fill(std::numeric_limits<float>::infinity());
    for (int i = 0; i < packet_size; ++i) {
        if (!has_lane(points.found, i)) continue;
        const std::uint32_t rank = dither_rank[static_cast<std::size_t>(i)];
        const glm::vec2 own_place = plane_place(rank, place);
        const bool to_sky = !shining.none() && rank / (packet_size / sky_every) == turn % sky_every;
        const glm::vec3 normal = points.normal.at(i);
        const glm::vec3 direction =
            to_sky ? shining.at(own_place) : cosine_direction(normal, own_place);
        drawn.weight[i] = weight_of(glm::dot(direction, normal), shining.per_sr(direction),
                                    shining.none() ? 0.0f : 1.0f / sky_every);
        rays.direction.set(i, direction);
        const glm::vec3 face = points.face_normal.at(i);
        if (drawn.weight[i] <= 0.0f || glm::dot(direction, face) <= 0.0f) continue;
        const glm::vec3 position_m = points.position_m.at(i);
        rays.origin_m.set(i, position_m + ray_offset_m(position_m) * face);
        rays.active |= 1u << i;
    }
    return drawn;
}

/// The skies in one direction. What little shows below the horizon comes with what is bounced.
void add_skies(const std::vector<const Sky*>& skies, const glm::vec3& direction, float weight,
               bool seen, std::size_t lane, std::vector<GatheredSky>& results) {
    const bool above = direction.z > 0.0f;
    if (!above && !seen) return;
    const SkyTable::Place place = SkyTable::place_of(direction);
    for (std::size_t s = 0; s < skies.size(); ++s) {
        const glm::vec3 light_lx =
            weight * static_cast<float>(pi) * skies[s]->luminance_cd_m2(direction, place);
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
void add_surface(const Surroundings& around, const HitPacket& hits, int i, float weight,
                 Gathered& result) {
    const auto lane = static_cast<std::size_t>(i);
    const std::uint32_t mesh = hits.mesh[lane];
    const std::uint32_t triangle = hits.triangle[lane];
    const Mesh& surface = *around.geometry.meshes()[mesh];
    const auto& corner = surface.triangles[triangle];
    const auto& cell_of = around.cells.cell_of[mesh];
    const float u = hits.u[i];
    const float v = hits.v[i];
    const BouncedLight& bounced = *around.bounced;
    const glm::vec3 reflectance =
        weight * glm::vec3(surface.materials[surface.material_of[triangle]].reflectance);
    const auto light = [&](const CachedIrradiance& source) {
        return reflectance * ((1.0f - u - v) * source[cell_of[corner[0]]] +
                              u * source[cell_of[corner[1]]] + v * source[cell_of[corner[2]]]);
    };
    for (std::size_t k = 0; k < bounced.skies_lx.size(); ++k)
        result.skies[k].bounced_lx[lane] += light(bounced.skies_lx[k]);
    for (std::size_t k = 0; k < bounced.lamps_lxs.size(); ++k)
        result.lamps_lxs[k][lane] += light(bounced.lamps_lxs[k]);
}

}  // namespace

void final_gather(const Surroundings& around, const SurfacePacket& points,
                  const GatherPattern& pattern, Gathered& result) {
    const std::vector<const Sky*>& skies = around.skies;
    const BouncedLight* bounced = around.bounced;
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
        const auto turn = pattern.packet * static_cast<std::uint32_t>(pattern.count) +
                          static_cast<std::uint32_t>(k) + pattern.seed;
        const auto [rays, weight] = hemisphere_rays(points, around.shining, place, turn);
        const HitPacket hits = around.geometry.rays().closest(rays);
        for (int i = 0; i < packet_size; ++i) {
            if (!has_lane(points.found, i) || weight[i] <= 0.0f) continue;
            const bool hit = has_lane(hits.hit, i);
            add_skies(skies, rays.direction.at(i), weight[i], has_lane(rays.active, i) && !hit,
                      static_cast<std::size_t>(i), result.skies);
            if (hit && bounced != nullptr) add_surface(around, hits, i, weight[i], result);
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
