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
    Lanes cosine{};
    LaneMask to_sky = 0;
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
        const bool to_sky = rank / (packet_size / sky_every) == turn % sky_every;
        if (to_sky) drawn.to_sky |= 1u << i;
        const glm::vec3 normal = points.normal.at(i);
        const glm::vec3 direction =
            to_sky && !shining.none() ? shining.at(own_place) : cosine_direction(normal, own_place);
        drawn.cosine[i] = glm::dot(direction, normal);
        drawn.weight[i] = weight_of(drawn.cosine[i], shining.per_sr(direction),
                                    shining.none() ? 0.0f : 1.0f / sky_every);
        rays.direction.set(i, direction);
        if (drawn.weight[i] <= 0.0f || points.faces_away(i, direction)) continue;
        rays.origin_m.set(i, points.leaving_m(i));
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

/// What the cells at a hit triangle's corners know, as its reflectance makes of it.
class HitSurface {
public:
    HitSurface(const Surroundings& around, const HitPacket& hits, int i) {
        const std::uint32_t mesh = hits.mesh[static_cast<std::size_t>(i)];
        const std::uint32_t triangle = hits.triangle[static_cast<std::size_t>(i)];
        const Mesh& surface = *around.geometry.meshes()[mesh];
        const auto& corners = surface.triangles[triangle];
        of_lamps_ = around.cells.at(mesh, triangle, corners, hits.u[i], hits.v[i]);
        of_skies_ = around.cells.coarse_at(mesh, corners, hits.u[i], hits.v[i]);
        reflectance_ = glm::vec3(surface.materials[surface.material_of[triangle]].reflectance);
    }

    glm::vec3 of_lamp(const CachedIrradiance& source) const { return sent(source, of_lamps_); }

    /// By coarse cells alone: which of them have finer ones is a matter of the lamps.
    glm::vec3 of_sky(const CachedIrradiance& source) const { return sent(source, of_skies_); }

private:
    glm::vec3 sent(const CachedIrradiance& source, const IrradianceCache::Blend& blend) const {
        const auto& [cell, share] = blend;
        return reflectance_ * (share[0] * source[cell[0]] + share[1] * source[cell[1]] +
                               share[2] * source[cell[2]]);
    }

    IrradianceCache::Blend of_lamps_, of_skies_;
    glm::vec3 reflectance_{};
};

/// How densely a point's rays meet the surfaces about it: all of those that tell of the lamps.
class RayDensity {
public:
    RayDensity(int directions, const PatchDraws* draws)
        : directions_(static_cast<float>(directions) * (1.0f - 1.0f / sky_every)), draws_(draws) {}

    /// What light along one of the rays weighs. A patch may have drawn it or not.
    float weight(float cosine, float patches_per_sr) const {
        const float per_sr = std::max(0.0f, cosine) * static_cast<float>(1.0 / pi);
        const float patch_rays = draws_ != nullptr ? draws_->rays * patches_per_sr : 0.0f;
        return per_sr / std::max(directions_ * per_sr + patch_rays, 1e-20f);
    }

    /// Density of draws in a direction of the hemisphere that met a surface.
    float patches_per_sr(const RayPacket& rays, const HitPacket& hits, int i) const {
        const float distance_m = hits.distance[i];
        if (draws_ == nullptr || distance_m < nearest_patch_m(rays.origin_m.at(i))) return 0.0f;
        const auto lane = static_cast<std::size_t>(i);
        const LitPatches::Place place =
            draws_->patches->place_of(hits.mesh[lane], hits.triangle[lane]);
        if (place.per_m2 <= 0.0f) return 0.0f;
        const glm::vec3 face = hits.face.at(i);
        const float cosine = std::abs(glm::dot(rays.direction.at(i), face)) / glm::length(face);
        return draws_->choice->share(place.cluster) * place.per_m2 * distance_m * distance_m /
               std::max(cosine, 1e-6f);
    }

private:
    float directions_;
    const PatchDraws* draws_;
};

void add_lamps(const HitSurface& surface, const BouncedLight& bounced, float weight,
               std::size_t lane, Gathered& result) {
    for (std::size_t k = 0; k < bounced.lamps_lxs.size(); ++k)
        result.lamps_lxs[k][lane] += weight * surface.of_lamp(bounced.lamps_lxs[k]);
}

void clear(std::size_t skies, std::size_t lamps, Gathered& result) {
    result.skies.resize(skies);
    for (GatheredSky& sky : result.skies)
        for (auto* light_lx : {&sky.asked_lx, &sky.seen_lx, &sky.bounced_lx})
            light_lx->fill(glm::vec3(0.0f));
    result.lamps_lxs.resize(lamps);
    for (auto& lamp : result.lamps_lxs) lamp.fill(glm::vec3(0.0f));
}

void gather_hemisphere(const Surroundings& around, const SurfacePacket& points,
                       const GatherPattern& pattern, const RayDensity& density, Gathered& result) {
    const glm::vec2 shift =
        plane_place(packet_size * pattern.packet,
                    {hashed_place(pattern.seed, 1), hashed_place(pattern.seed, 2)});
    const float share = 1.0f / static_cast<float>(pattern.count);
    for (int k = 0; k < pattern.count; ++k) {
        // A Fibonacci lattice over the square, moved as a whole.
        const glm::vec2 place{fraction(shift.x + (static_cast<float>(k) + 0.5f) * share),
                              golden_place(static_cast<std::uint32_t>(k), shift.y)};
        const auto turn = pattern.packet * static_cast<std::uint32_t>(pattern.count) +
                          static_cast<std::uint32_t>(k) + pattern.seed;
        const auto [rays, weight, cosine, to_sky] =
            hemisphere_rays(points, around.shining, place, turn);
        const HitPacket hits = around.geometry.rays().closest(rays);
        for (int i = 0; i < packet_size; ++i) {
            if (!has_lane(points.found, i) || weight[i] <= 0.0f) continue;
            const auto lane = static_cast<std::size_t>(i);
            const bool hit = has_lane(hits.hit, i);
            add_skies(around.skies, rays.direction.at(i), share * weight[i],
                      has_lane(rays.active, i) && !hit, lane, result.skies);
            if (!hit || around.bounced == nullptr) continue;
            const HitSurface surface(around, hits, i);
            for (std::size_t s = 0; s < around.skies.size(); ++s)
                result.skies[s].bounced_lx[lane] +=
                    share * weight[i] * surface.of_sky(around.bounced->skies_lx[s]);
            if (has_lane(to_sky, i)) continue;
            add_lamps(surface, *around.bounced,
                      density.weight(cosine[i], density.patches_per_sr(rays, hits, i)), lane,
                      result);
        }
    }
}

/// Which cluster, and where in it, a lane draws. The lanes of a block share the clusters out evenly
/// between them, and the blocks of a tile again. Where on a patch is left to chance: places spread
/// evenly over patch and film at once make streaks.
glm::vec4 place_of_draw(std::uint32_t draw, int lane, std::uint32_t seed) {
    const std::uint32_t own = hash_of(packet_size * draw + static_cast<std::uint32_t>(lane), seed);
    const auto rank = static_cast<float>(dither_rank[static_cast<std::size_t>(lane)]);
    return {fraction((rank + hashed_place(own, 0)) / packet_size +
                     golden_place(draw, hashed_place(seed, 0))),
            hashed_place(own, 1), hashed_place(own, 2), hashed_place(own, 3)};
}

/// Draws up to a film sample, of a lane that comes so late in its block.
int draws_until(const PatchDraws& draws, std::uint32_t sample, int lane) {
    return static_cast<int>(draws.rays * static_cast<float>(sample) + dither_place(lane));
}

void gather_patches(const Surroundings& around, const SurfacePacket& points,
                    const PatchDraws& draws, const RayDensity& density, Gathered& result) {
    for (int draw = 0;; ++draw) {
        LaneMask lanes = 0;
        std::array<std::uint32_t, packet_size> cluster{};
        LaneVectors places;
        for (int i = 0; i < packet_size; ++i) {
            const int number = draws_until(draws, draws.sample, i) + draw;
            if (!has_lane(points.found, i) || number >= draws_until(draws, draws.sample + 1, i))
                continue;
            lanes |= 1u << i;
            const glm::vec4 place =
                place_of_draw(draws.first + static_cast<std::uint32_t>(number), i, draws.seed);
            cluster[static_cast<std::size_t>(i)] = draws.choice->cluster_at(place.x);
            places.set(i, {place.y, place.z, place.w});
        }
        if (lanes == 0) return;
        PatchPoints drawn;
        draws.patches->draw(cluster, lanes, places, drawn);
        const PatchRays lines = rays_between(points, drawn);
        const LaneMask lit = lines.rays.active & ~around.geometry.rays().occluded(lines.rays);
        for (int i = 0; i < packet_size; ++i) {
            if (!has_lane(lit, i)) continue;
            const auto lane = static_cast<std::size_t>(i);
            const float per_sr =
                draws.choice->share(cluster[lane]) * drawn.per_m2[i] * lines.m2_per_sr[i];
            add_lamps(HitSurface(around, drawn.hits, i), *around.bounced,
                      density.weight(lines.cosine[i], per_sr), lane, result);
        }
    }
}

}  // namespace

void final_gather(const Surroundings& around, const SurfacePacket& points,
                  const GatherPattern& pattern, const PatchDraws* draws, Gathered& result) {
    clear(around.skies.size(), around.bounced != nullptr ? around.bounced->lamps_lxs.size() : 0,
          result);
    const RayDensity density(pattern.count, draws);
    gather_hemisphere(around, points, pattern, density, result);
    if (draws != nullptr) gather_patches(around, points, *draws, density, result);
}

}  // namespace lampflight
