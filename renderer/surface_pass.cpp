#include "renderer/surface_pass.h"

#include <tbb/enumerable_thread_specific.h>
#include <tbb/parallel_for.h>

#include <limits>

#include "renderer/indirect_tile.h"
#include "renderer/low_discrepancy.h"
#include "renderer/shutter_integral.h"
#include "scene/angle.h"
#include "scene/exposure.h"

namespace lampflight {
namespace {

constexpr int block_side = 4;
constexpr int tile_side = IndirectTile::side_px;

// A diffuse surface sends out the luminance E / pi.
constexpr float one_over_pi = static_cast<float>(1.0 / pi);

/// A block's upper left pixel, on the film and within its tile.
struct BlockPlace {
    glm::ivec2 film_px;
    glm::ivec2 tile_px;

    glm::ivec2 film(int lane) const { return film_px + offset(lane); }
    glm::ivec2 tile(int lane) const { return tile_px + offset(lane); }

    static glm::ivec2 offset(int lane) { return {lane % block_side, lane / block_side}; }
};

/// Space for one tile's work, kept from block to block.
struct Workspace {
    std::vector<SurfacePacket> surfaces;  ///< of a block, one a film sample
    Gathered gathered;
    IndirectTile indirect;
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
        work.indirect.reset(light_.lamps.size() + 1);
        for (int y = 0; y < tile_side; y += block_side)
            for (int x = 0; x < tile_side; x += block_side) {
                const BlockPlace place{tile_px + glm::ivec2(x, y), {x, y}};
                if (!in_film(place.film_px)) continue;
                see(place, work);
                const std::uint32_t seed =
                    hash_of(static_cast<std::uint32_t>(place.film_px.x),
                            static_cast<std::uint32_t>(place.film_px.y));
                light_by_lamps(place, seed, work);
                light_by_hemisphere(place, seed, work);
            }
        work.indirect.smooth(glm::vec3(projection_.position_m()), spread_);
        add_indirect(tile_px, work.indirect);
    }

private:
    bool in_film(const glm::ivec2& film_px) const {
        return film_px.x < camera_.pixels.x && film_px.y < camera_.pixels.y;
    }

    /// Lens factor over the number of film samples: turns their sum into exposure.
    float lens_share(const glm::ivec2& film_px) const {
        const double cosine = projection_.cos_off_axis(Vec2(film_px) + 0.5);
        return static_cast<float>(lens_factor(camera_.lens_transmission, cosine) /
                                  effort_.film_samples);
    }

    /// Film rays of one sample; lanes beyond the frame stay inactive.
    RayPacket film_rays(const BlockPlace& place, int sample) const {
        RayPacket rays;
        rays.active = 0;
        rays.reach.lane.fill(std::numeric_limits<float>::infinity());
        const Vec2 within(film_sample_place(sample, effort_.film_samples));
        const glm::vec3 lens_m(projection_.position_m());
        for (int i = 0; i < packet_size; ++i) {
            if (!in_film(place.film(i))) continue;
            rays.origin_m.set(i, lens_m);
            rays.direction.set(
                i, glm::vec3(projection_.direction(Vec2(place.film(i)) + within)));
            rays.active |= 1u << i;
        }
        return rays;
    }

    void see(const BlockPlace& place, Workspace& work) const {
        work.surfaces.clear();
        for (int sample = 0; sample < effort_.film_samples; ++sample) {
            const RayPacket rays = film_rays(place, sample);
            const HitPacket hits = light_.stage.rays().closest(rays);
            work.surfaces.push_back(light_.stage.surfaces(rays, hits, spread_));
            for (int i = 0; i < packet_size; ++i) {
                if (!has_lane(rays.active & ~hits.hit, i)) continue;
                const glm::ivec2 film_px = place.film(i);
                films_.sky_view.at(film_px.x, film_px.y) +=
                    lens_share(film_px) * light_.sky.luminance_cd_m2(rays.direction.at(i));
            }
        }
    }

    void light_by_lamps(const BlockPlace& place, std::uint32_t seed, const Workspace& work) const {
        for (std::size_t k = 0; k < light_.lamps.size(); ++k) {
            const LampTrack& track = light_.lamps[k];
            const TimeStrata strata = choose_strata(track, work.surfaces, effort_.strata);
            const float shift = hashed_place(seed, static_cast<std::uint32_t>(k) + 7u);
            std::array<glm::vec3, packet_size> reflected_lxs{};
            for (int sample = 0; sample < effort_.film_samples; ++sample) {
                const SurfacePacket& points = work.surfaces[static_cast<std::size_t>(sample)];
                if (points.found == 0) continue;
                const Lanes exposure_lxs = lamp_exposure_lxs(
                    track, light_.stage.rays(), points, strata,
                    {.first = sample, .step = effort_.film_samples, .shift = shift});
                for (int i = 0; i < packet_size; ++i)
                    if (has_lane(points.found, i))
                        reflected_lxs[static_cast<std::size_t>(i)] +=
                            exposure_lxs[i] * points.reflectance.at(i) * track.colour();
            }
            for (int i = 0; i < packet_size; ++i)
                if (const glm::ivec2 film_px = place.film(i); in_film(film_px))
                    films_.lamp_surface[k].at(film_px.x, film_px.y) =
                        lens_share(film_px) * one_over_pi *
                        reflected_lxs[static_cast<std::size_t>(i)];
        }
    }

    void light_by_hemisphere(const BlockPlace& place, std::uint32_t seed, Workspace& work) const {
        for (int sample = 0; sample < effort_.film_samples; ++sample) {
            const SurfacePacket& points = work.surfaces[static_cast<std::size_t>(sample)];
            if (points.found == 0) continue;
            gather(light_.stage, light_.sky, points, light_.cells,
                   light_.bounced ? &*light_.bounced : nullptr,
                   {effort_.directions / effort_.film_samples, static_cast<std::uint32_t>(sample),
                    seed},
                   work.gathered);
            for (int i = 0; i < packet_size; ++i) {
                if (!has_lane(points.found, i)) continue;
                const auto lane = static_cast<std::size_t>(i);
                const auto [x, y] = std::pair(place.tile(i).x, place.tile(i).y);
                const glm::vec3 reflectance = points.reflectance.at(i);
                work.indirect.add_surface(x, y, points.position_m.at(i), points.face_normal.at(i),
                                          reflectance);
                work.indirect.add_light(x, y, 0, reflectance, work.gathered.sky_lx[lane]);
                for (std::size_t k = 0; k < work.gathered.lamps_lxs.size(); ++k)
                    work.indirect.add_light(x, y, k + 1, reflectance,
                                            work.gathered.lamps_lxs[k][lane]);
            }
        }
    }

    void add_indirect(const glm::ivec2& tile_px, const IndirectTile& indirect) const {
        for (int y = 0; y < tile_side; ++y)
            for (int x = 0; x < tile_side; ++x) {
                const glm::ivec2 film_px = tile_px + glm::ivec2(x, y);
                if (!in_film(film_px)) continue;
                const float lit = lens_share(film_px) * one_over_pi;
                films_.sky_surface.at(film_px.x, film_px.y) = lit * indirect.reflected(x, y, 0);
                for (std::size_t k = 0; k < light_.lamps.size(); ++k)
                    films_.lamp_surface[k].at(film_px.x, film_px.y) +=
                        lit * indirect.reflected(x, y, k + 1);
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
    const int across = (width + tile_side - 1) / tile_side;
    const int down = (height + tile_side - 1) / tile_side;
    tbb::enumerable_thread_specific<Workspace> workspaces;
    tbb::parallel_for(0, across * down, [&](int tile) {
        if (stop.stop_requested()) return;
        pass.run(tile_side * glm::ivec2(tile % across, tile / across), workspaces.local());
        tile_done(1.0 / (static_cast<double>(across) * down));
    });
    return !stop.stop_requested();
}

}  // namespace lampflight
