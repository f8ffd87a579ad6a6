#include "renderer/surface_light/surface_pass.h"

#include <tbb/enumerable_thread_specific.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>

#include "renderer/geometry/camera_rays.h"
#include "renderer/lamp_light/lamp_tile.h"
#include "renderer/sampling/low_discrepancy.h"
#include "renderer/surface_light/direct_light.h"
#include "renderer/surface_light/indirect_tile.h"
#include "scene/basics/angle.h"
#include "scene/camera/lens_light.h"

namespace lampflight {
namespace {

// A diffuse surface sends out the luminance E / pi.
constexpr float one_over_pi = static_cast<float>(1.0 / pi);

constexpr double nearest_m = 1e-3;  // a surface that touches the lens is as if this far away

/// Space for one tile's work, kept from tile to tile.
struct Workspace {
    TileView view;
    TileOf<float> lens_factor;
    TileSurfaces surfaces;
    LampTile lamp;
    IndirectTile indirect;
    TilePatches patches;
    TileOf<glm::vec3> of_disc;
    Gathered gathered;
};

class TilePass {
public:
    TilePass(const Camera& camera, PassLight& light, const Effort& effort)
        : lens_(camera),
          camera_rays_(camera, light.geometry, effort),
          light_(light),
          effort_(effort),
          skies_(skies_of(light)),
          shining_(skies_),
          around_{light.geometry, skies_, shining_, light.cells,
                  light.bounced ? &*light.bounced : nullptr} {
        for (const LampPass& lamp : light.lamps)
            legs_.push_back(look_at(lamp.track, camera_rays_, camera.pixels));
    }

    void run(const glm::ivec2& corner_px, Workspace& work) const {
        const std::uint32_t seed = hash_of(static_cast<std::uint32_t>(corner_px.x),
                                           static_cast<std::uint32_t>(corner_px.y));
        camera_rays_.see(corner_px, work.view);
        for (std::size_t pixel = 0; pixel < tile_pixels; ++pixel) {
            const glm::ivec2 film_px = corner_px + place_in_tile(pixel);
            work.lens_factor[pixel] = static_cast<float>(lens_.factor(Vec2(film_px) + 0.5));
        }
        keep_depth(work.view);
        see_skies(work);
        work.surfaces.see(work.view, camera_rays_.lens_m(), camera_rays_.spread());
        if (!work.surfaces.any_seen()) return;
        work.lamp.begin(work.view, effort_, seed);
        for (std::size_t k = 0; k < legs_.size(); ++k) {
            work.lamp.light(legs_[k], light_.geometry.rays());
            add_to_film(work, light_.lamps[k].film, one_over_pi * light_.lamps[k].scale,
                        [&](std::size_t pixel) { return work.lamp.reflected_lxs(pixel); });
        }
        for (SkyPass& sky : light_.skies)
            for (std::size_t k = 0; k < sky.discs.size(); ++k) {
                light_by_disc(*sky.sky, k, seed, work);
                add_to_film(work, sky.discs[k].film, one_over_pi * sky.discs[k].scale,
                            [&](std::size_t pixel) { return work.of_disc[pixel]; });
            }
        light_by_hemisphere(seed, work);
        std::size_t source = 0;
        const auto add_indirect = [&](Image& film, float scale) {
            add_to_film(work, film, one_over_pi * scale,
                        [&](std::size_t pixel) { return work.indirect.reflected(pixel, source); });
            ++source;
        };
        for (SkyPass& sky : light_.skies) add_indirect(sky.surface, sky.scale);
        for (LampPass& lamp : light_.lamps) add_indirect(lamp.film, lamp.scale);
    }

private:
    /// Adds the lens factor times `factor` times the value of each pixel that sees a surface.
    template <class Value>
    void add_to_film(const Workspace& work, Image& film, float factor, Value value) const {
        for (std::size_t pixel = 0; pixel < tile_pixels; ++pixel) {
            const glm::ivec2 film_px = work.view.corner_px + place_in_tile(pixel);
            if (!work.surfaces.seen(pixel) || !camera_rays_.in_film(film_px)) continue;
            film.at(film_px.x, film_px.y) += work.lens_factor[pixel] * factor * value(pixel);
        }
    }

    void keep_depth(const TileView& view) const {
        for (std::size_t block = 0; block < tile_blocks; ++block)
            for (const SurfacePacket& points : view.blocks[block])
                for (int i = 0; i < packet_size; ++i) {
                    if (!has_lane(points.found, i)) continue;
                    const glm::ivec2 film_px = view.corner_px + place_in_tile(tile_pixel(block, i));
                    const double depth_m =
                        camera_rays_.projection().depth_m(Vec3(points.position_m.at(i)));
                    float& nearness_per_m = light_.depth.at(film_px.x, film_px.y);
                    nearness_per_m = std::max(
                        nearness_per_m, static_cast<float>(1.0 / std::max(depth_m, nearest_m)));
                }
    }

    /// The skies in view. Over a pixel they are as even as in its middle.
    void see_skies(const Workspace& work) const {
        for (std::size_t pixel = 0; pixel < tile_pixels; ++pixel) {
            const glm::ivec2 film_px = work.view.corner_px + place_in_tile(pixel);
            const float share = work.lens_factor[pixel] * work.view.sky_share[pixel];
            if (share == 0.0f || !camera_rays_.in_film(film_px)) continue;
            const glm::vec3 direction(camera_rays_.projection().direction(Vec2(film_px) + 0.5));
            const SkyTable::Place place = SkyTable::place_of(direction);
            for (SkyPass& sky : light_.skies)
                sky.view.at(film_px.x, film_px.y) +=
                    share * sky.scale * sky.sky->luminance_cd_m2(direction, place);
        }
    }

    /// Shadow rays a pixel: fewer to a disc that the sky outshines, as its noise is not seen.
    int rays_to(const SunMoonDisc& disc, const Sky& sky) const {
        const float sky_lx = luminance(sky.horizontal_lx());
        const float top = std::max(disc.direction.z + disc.radius_rad, 0.0f);
        const float disc_lx = top * luminance(disc.normal_lx);
        constexpr float outshone = 0.1f;
        const float share = std::min(1.0f, disc_lx / std::max(outshone * sky_lx, 1e-20f));
        return static_cast<int>(std::lround(share * static_cast<float>(effort_.disc_rays)));
    }

    /// Rays of one film sample in a block, where a pixel of few samples sends `few` in all and one
    /// of all samples `all`: the first samples are those of both.
    int rays_each(const TileView& view, std::size_t block, std::size_t sample, int few,
                  int all) const {
        const int of_few = few / effort_.plain_samples;
        if (view.plain[block]) return of_few;
        const int of_all = all / effort_.film_samples;
        return sample < static_cast<std::size_t>(effort_.plain_samples) ? std::max(of_few, of_all)
                                                                        : of_all;
    }

    /// Reflectance times light of one of a sky's discs, in `of_disc`.
    void light_by_disc(const Sky& sky, std::size_t place, std::uint32_t seed,
                       Workspace& work) const {
        work.of_disc.fill(glm::vec3(0.0f));
        const SunMoonDisc& disc = sky.direct()[place];
        const int rays = rays_to(disc, sky);
        for (std::size_t block = 0; block < tile_blocks; ++block) {
            const BlockSurfaces& samples = work.view.blocks[block];
            for (std::size_t sample = 0; sample < samples.size(); ++sample) {
                const SurfacePacket& points = samples[sample];
                if (points.found == 0) continue;
                const auto light_lx =
                    direct_lx(light_.geometry, disc, points,
                              {std::max(1, rays_each(work.view, block, sample, rays, rays)),
                               static_cast<std::uint32_t>(sample),
                               hash_of(seed, static_cast<std::uint32_t>(block))});
                for (int i = 0; i < packet_size; ++i)
                    if (has_lane(points.found, i))
                        work.of_disc[tile_pixel(block, i)] += work.view.sample_share(block, i) *
                                                              points.reflectance.at(i) *
                                                              light_lx[static_cast<std::size_t>(i)];
            }
        }
    }

    void light_by_hemisphere(std::uint32_t seed, Workspace& work) const {
        work.indirect.reset(skies_.size(), legs_.size());
        if (light_.bounced)
            work.patches.learn(light_.patches, light_.geometry.rays(), work.view, seed);
        const float most_rays = effort_.patch_rays / static_cast<float>(effort_.plain_samples);
        PatchDraws draws{&light_.patches, nullptr, 0.0f, 0, 0, hash_of(seed, 5)};
        const auto draws_a_block = static_cast<std::uint32_t>(std::ceil(effort_.patch_rays));
        for (std::size_t block = 0; block < tile_blocks; ++block) {
            const BlockSurfaces& samples = work.view.blocks[block];
            draws.choice = light_.bounced ? work.patches.look_from(work.view, block) : nullptr;
            if (draws.choice != nullptr) draws.rays = most_rays * draws.choice->worth();
            draws.first = draws_a_block * turn_of_block(block);
            for (std::size_t sample = 0; sample < samples.size(); ++sample) {
                const SurfacePacket& points = samples[sample];
                if (points.found == 0) continue;
                draws.sample = static_cast<std::uint32_t>(sample);
                const int directions = rays_each(work.view, block, sample, effort_.plain_directions,
                                                 effort_.directions);
                final_gather(around_, points,
                             {directions, static_cast<std::uint32_t>(sample),
                              hash_of(seed, static_cast<std::uint32_t>(block))},
                             draws.choice != nullptr && draws.rays > 0.0f ? &draws : nullptr,
                             work.gathered);
                keep_gathered(block, points, work);
            }
        }
        work.indirect.smooth(work.surfaces);
    }

    void keep_gathered(std::size_t block, const SurfacePacket& points, Workspace& work) const {
        for (int i = 0; i < packet_size; ++i) {
            if (!has_lane(points.found, i)) continue;
            const float share = work.view.sample_share(block, i);
            const auto lane = static_cast<std::size_t>(i);
            const std::size_t pixel = tile_pixel(block, i);
            const glm::vec3 reflectance = share * points.reflectance.at(i);
            work.indirect.add_reflectance(pixel, reflectance);
            const std::size_t skies = skies_.size();
            for (std::size_t s = 0; s < skies; ++s) {
                const GatheredSky& sky = work.gathered.skies[s];
                work.indirect.add_sky(pixel, s, reflectance, sky.seen_lx[lane], sky.asked_lx[lane],
                                      skies_[s]->irradiance_lx(points.normal.at(i)));
                work.indirect.add_light(pixel, s, reflectance, sky.bounced_lx[lane]);
            }
            for (std::size_t k = 0; k < work.gathered.lamps_lxs.size(); ++k)
                work.indirect.add_light(pixel, skies + k, reflectance,
                                        work.gathered.lamps_lxs[k][lane]);
        }
    }

    LensLight lens_;
    CameraRays camera_rays_;
    PassLight& light_;
    const Effort& effort_;
    std::vector<const Sky*> skies_;
    SkySampler shining_;
    Surroundings around_;
    std::vector<LegsOfLamp> legs_;  ///< of each lamp
};

}  // namespace

std::vector<const Sky*> skies_of(const PassLight& light) {
    std::vector<const Sky*> skies;
    for (const SkyPass& pass : light.skies) skies.push_back(pass.sky);
    return skies;
}

bool surface_pass(const Camera& camera, PassLight& light, const Effort& effort,
                  const std::function<void(double)>& tile_done, const std::stop_token& stop) {
    const int width = camera.pixels.x;
    const int height = camera.pixels.y;
    light.depth = DepthMap(width, height);
    for (LampPass& lamp : light.lamps) lamp.film = Image(width, height);
    for (SkyPass& sky : light.skies) {
        sky.view = Image(width, height);
        sky.surface = Image(width, height);
        for (DiscPass& disc : sky.discs) disc.film = Image(width, height);
    }

    // Tiles are fixed places on the film, whoever takes them: the picture does not depend on it.
    const TilePass pass(camera, light, effort);
    const int across = (width + tile_side_px - 1) / tile_side_px;
    const int down = (height + tile_side_px - 1) / tile_side_px;
    tbb::enumerable_thread_specific<Workspace> workspaces;
    tbb::parallel_for(0, across * down, [&](int tile) {
        if (stop.stop_requested()) return;
        pass.run(tile_side_px * glm::ivec2(tile % across, tile / across), workspaces.local());
        tile_done(1.0 / (static_cast<double>(across) * down));
    });
    return !stop.stop_requested();
}

}  // namespace lampflight
