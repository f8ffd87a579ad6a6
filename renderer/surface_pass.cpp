#include "renderer/surface_pass.h"

#include <tbb/enumerable_thread_specific.h>
#include <tbb/parallel_for.h>

#include <limits>

#include "renderer/indirect_tile.h"
#include "renderer/lamp_tile.h"
#include "renderer/low_discrepancy.h"
#include "scene/angle.h"
#include "scene/exposure.h"

namespace lampflight {
namespace {

// A diffuse surface sends out the luminance E / pi.
constexpr float one_over_pi = static_cast<float>(1.0 / pi);

/// Space for one tile's work, kept from tile to tile.
struct Workspace {
    std::array<BlockSurfaces, tile_blocks> blocks;
    TileSurfaces surfaces;
    LampTile lamp;
    IndirectTile indirect;
    Gathered gathered;
};

class TilePass {
public:
    TilePass(const Camera& camera, const StageLight& light, const Effort& effort,
             StageFilms& films)
        : camera_(camera), projection_(camera), light_(light), effort_(effort), films_(films) {
        const Vec2 pitch_mm = pixel_pitch_mm(camera);
        spread_ = static_cast<float>(pitch_mm.x / camera.focal_mm);
    }

    void run(const glm::ivec2& tile_px, Workspace& work) const {
        const std::uint32_t seed = hash_of(static_cast<std::uint32_t>(tile_px.x),
                                           static_cast<std::uint32_t>(tile_px.y));
        work.surfaces.clear();
        for (std::size_t block = 0; block < tile_blocks; ++block) see(tile_px, block, work);
        work.surfaces.finish(glm::vec3(projection_.position_m()), spread_);
        for (std::size_t k = 0; k < light_.lamps.size(); ++k) {
            work.lamp.light(light_.lamps[k], light_.stage.rays(), work.blocks, effort_,
                            hash_of(seed, static_cast<std::uint32_t>(k)));
            add_to_film(tile_px, films_.lamp_surface[k], [&](std::size_t pixel) {
                return work.lamp.reflected_lxs(pixel);
            });
        }
        light_by_hemisphere(seed, work);
        for (std::size_t k = 0; k <= light_.lamps.size(); ++k)
            add_to_film(tile_px, k == 0 ? films_.sky_surface : films_.lamp_surface[k - 1],
                        [&](std::size_t pixel) { return work.indirect.reflected(pixel, k); });
    }

private:
    bool in_film(const glm::ivec2& film_px) const {
        return film_px.x < camera_.pixels.x && film_px.y < camera_.pixels.y;
    }

    static glm::ivec2 place(std::size_t tile_pixel) {
        const int pixel = static_cast<int>(tile_pixel);
        return {pixel % tile_side_px, pixel / tile_side_px};
    }

    /// Lens factor over the number of film samples: turns their sum into exposure.
    float lens_share(const glm::ivec2& film_px) const {
        const double cosine = projection_.cos_off_axis(Vec2(film_px) + 0.5);
        return static_cast<float>(lens_factor(camera_.lens_transmission, cosine) /
                                  effort_.film_samples);
    }

    /// Adds what the surfaces send to the lens: `reflected(pixel)` is a sum over film samples.
    template <class Reflected>
    void add_to_film(const glm::ivec2& tile_px, Image& film, Reflected reflected) const {
        for (std::size_t pixel = 0; pixel < tile_pixels; ++pixel) {
            const glm::ivec2 film_px = tile_px + place(pixel);
            if (in_film(film_px))
                film.at(film_px.x, film_px.y) +=
                    lens_share(film_px) * one_over_pi * reflected(pixel);
        }
    }

    /// Film rays of one sample; lanes beyond the frame stay inactive.
    RayPacket film_rays(const glm::ivec2& tile_px, std::size_t block, int sample) const {
        RayPacket rays;
        rays.active = 0;
        rays.reach.lane.fill(std::numeric_limits<float>::infinity());
        const Vec2 within(film_sample_place(sample, effort_.film_samples));
        const glm::vec3 lens_m(projection_.position_m());
        for (int i = 0; i < packet_size; ++i) {
            const glm::ivec2 film_px = tile_px + place(tile_pixel(block, i));
            if (!in_film(film_px)) continue;
            rays.origin_m.set(i, lens_m);
            rays.direction.set(i, glm::vec3(projection_.direction(Vec2(film_px) + within)));
            rays.active |= 1u << i;
        }
        return rays;
    }

    void see(const glm::ivec2& tile_px, std::size_t block, Workspace& work) const {
        BlockSurfaces& found = work.blocks[block];
        found.clear();
        for (int sample = 0; sample < effort_.film_samples; ++sample) {
            const RayPacket rays = film_rays(tile_px, block, sample);
            if (rays.active == 0) return;
            const HitPacket hits = light_.stage.rays().closest(rays);
            const SurfacePacket& points =
                found.emplace_back(light_.stage.surfaces(rays, hits, spread_));
            for (int i = 0; i < packet_size; ++i) {
                if (!has_lane(rays.active, i)) continue;
                const std::size_t pixel = tile_pixel(block, i);
                const glm::ivec2 film_px = tile_px + place(pixel);
                if (has_lane(points.found, i))
                    work.surfaces.add(pixel, points.position_m.at(i), points.face_normal.at(i));
                else
                    films_.sky_view.at(film_px.x, film_px.y) +=
                        lens_share(film_px) * light_.sky.luminance_cd_m2(rays.direction.at(i));
            }
        }
    }

    void light_by_hemisphere(std::uint32_t seed, Workspace& work) const {
        work.indirect.reset(light_.lamps.size() + 1);
        const int count = effort_.directions / effort_.film_samples;
        for (std::size_t block = 0; block < tile_blocks; ++block)
            for (std::size_t sample = 0; sample < work.blocks[block].size(); ++sample) {
                const SurfacePacket& points = work.blocks[block][sample];
                if (points.found == 0) continue;
                gather(light_.stage, light_.sky, points, light_.cells,
                       light_.bounced ? &*light_.bounced : nullptr,
                       {count, static_cast<std::uint32_t>(sample),
                        hash_of(seed, static_cast<std::uint32_t>(block))},
                       work.gathered);
                keep_gathered(block, points, work);
            }
        work.indirect.smooth(work.surfaces);
    }

    static void keep_gathered(std::size_t block, const SurfacePacket& points, Workspace& work) {
        for (int i = 0; i < packet_size; ++i) {
            if (!has_lane(points.found, i)) continue;
            const auto lane = static_cast<std::size_t>(i);
            const std::size_t pixel = tile_pixel(block, i);
            const glm::vec3 reflectance = points.reflectance.at(i);
            work.indirect.add_reflectance(pixel, reflectance);
            work.indirect.add_light(pixel, 0, reflectance, work.gathered.sky_lx[lane]);
            for (std::size_t k = 0; k < work.gathered.lamps_lxs.size(); ++k)
                work.indirect.add_light(pixel, k + 1, reflectance,
                                        work.gathered.lamps_lxs[k][lane]);
        }
    }

    const Camera& camera_;
    Projection projection_;
    const StageLight& light_;
    const Effort& effort_;
    StageFilms& films_;
    float spread_;
};

}  // namespace

bool surface_pass(const Camera& camera, const StageLight& light, const Effort& effort,
                  StageFilms& films, const std::function<void(double)>& tile_done,
                  const std::stop_token& stop) {
    const int width = camera.pixels.x;
    const int height = camera.pixels.y;
    films.sky_view = Image(width, height);
    films.sky_surface = Image(width, height);
    films.lamp_surface.assign(light.lamps.size(), Image(width, height));

    // Tiles are fixed places on the film, whoever takes them: the picture does not depend on it.
    const TilePass pass(camera, light, effort, films);
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
