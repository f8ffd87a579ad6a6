#include "renderer/surface_pass.h"

#include <tbb/blocked_range2d.h>
#include <tbb/parallel_for.h>

#include <limits>

#include "renderer/low_discrepancy.h"
#include "renderer/shutter_integral.h"
#include "scene/angle.h"
#include "scene/exposure.h"

namespace lampflight {
namespace {

constexpr int block_side = 4;
constexpr int tile_blocks = 8;

/// Space for one block's work, kept from block to block.
struct Workspace {
    std::vector<SurfacePacket> surfaces;  ///< one a film sample
    Gathered gathered;
    std::array<glm::vec3, packet_size> sky_view;
    std::array<glm::vec3, packet_size> sky_surface;
    std::vector<std::array<glm::vec3, packet_size>> lamp_surface;
};

class BlockPass {
public:
    BlockPass(const Camera& camera, const StageLight& light, const Effort& effort,
              StageFilms& films)
        : camera_(camera), projection_(camera), light_(light), effort_(effort), films_(films) {
        const Vec2 pitch_mm = pixel_pitch_mm(camera);
        spread_ = static_cast<float>(pitch_mm.x / camera.focal_mm);
    }

    void run(int block_x, int block_y, Workspace& work) const {
        see(block_x, block_y, work);
        const std::uint32_t seed = hash_of(static_cast<std::uint32_t>(block_x),
                                           static_cast<std::uint32_t>(block_y));
        light_by_lamps(seed, work);
        light_by_hemisphere(seed, work);
        deposit(block_x, block_y, work);
    }

private:
    /// Film rays of one sample; lanes beyond the frame stay inactive.
    RayPacket film_rays(int block_x, int block_y, int sample) const {
        RayPacket rays;
        rays.active = 0;
        rays.reach.lane.fill(std::numeric_limits<float>::infinity());
        const glm::vec2 place = film_sample_place(sample, effort_.film_samples);
        const glm::vec3 lens_m(projection_.position_m());
        for (int i = 0; i < packet_size; ++i) {
            const int x = block_x * block_side + i % block_side;
            const int y = block_y * block_side + i / block_side;
            if (x >= camera_.pixels.x || y >= camera_.pixels.y) continue;
            rays.origin_m.set(i, lens_m);
            rays.direction.set(i, glm::vec3(projection_.direction(
                                      {x + static_cast<double>(place.x),
                                       y + static_cast<double>(place.y)})));
            rays.active |= 1u << i;
        }
        return rays;
    }

    void see(int block_x, int block_y, Workspace& work) const {
        work.sky_view.fill(glm::vec3(0.0f));
        work.surfaces.clear();
        for (int sample = 0; sample < effort_.film_samples; ++sample) {
            const RayPacket rays = film_rays(block_x, block_y, sample);
            const HitPacket hits = light_.stage.rays().closest(rays);
            work.surfaces.push_back(light_.stage.surfaces(rays, hits, spread_));
            for (int i = 0; i < packet_size; ++i)
                if (has_lane(rays.active & ~hits.hit, i))
                    work.sky_view[static_cast<std::size_t>(i)] +=
                        light_.sky.luminance_cd_m2(rays.direction.at(i));
        }
    }

    void light_by_lamps(std::uint32_t seed, Workspace& work) const {
        work.lamp_surface.resize(light_.lamps.size());
        for (std::size_t k = 0; k < light_.lamps.size(); ++k) {
            const LampTrack& track = light_.lamps[k];
            auto& film = work.lamp_surface[k];
            film.fill(glm::vec3(0.0f));
            const TimeStrata strata = choose_strata(track, work.surfaces, effort_.strata);
            const float shift = hashed_place(seed, static_cast<std::uint32_t>(k) + 7u);
            for (int sample = 0; sample < effort_.film_samples; ++sample) {
                const SurfacePacket& points = work.surfaces[static_cast<std::size_t>(sample)];
                if (points.found == 0) continue;
                const Lanes exposure_lxs = lamp_exposure_lxs(
                    track, light_.stage.rays(), points, strata,
                    {.first = sample, .step = effort_.film_samples, .shift = shift});
                for (int i = 0; i < packet_size; ++i)
                    if (has_lane(points.found, i))
                        film[static_cast<std::size_t>(i)] +=
                            exposure_lxs[i] * points.reflectance.at(i) * track.colour();
            }
        }
    }

    void light_by_hemisphere(std::uint32_t seed, Workspace& work) const {
        work.sky_surface.fill(glm::vec3(0.0f));
        for (int sample = 0; sample < effort_.film_samples; ++sample) {
            const SurfacePacket& points = work.surfaces[static_cast<std::size_t>(sample)];
            if (points.found == 0) continue;
            gather(light_.stage, light_.sky, points, light_.cells,
                   light_.bounced ? &*light_.bounced : nullptr,
                   {effort_.directions / effort_.film_samples, static_cast<std::uint32_t>(sample),
                    seed},
                   work.gathered);
            for (std::size_t i = 0; i < packet_size; ++i) {
                if (!has_lane(points.found, static_cast<int>(i))) continue;
                const glm::vec3 reflectance = points.reflectance.at(static_cast<int>(i));
                work.sky_surface[i] += reflectance * work.gathered.sky_lx[i];
                for (std::size_t k = 0; k < work.gathered.lamps_lxs.size(); ++k)
                    work.lamp_surface[k][i] += reflectance * work.gathered.lamps_lxs[k][i];
            }
        }
    }

    void deposit(int block_x, int block_y, const Workspace& work) const {
        for (int i = 0; i < packet_size; ++i) {
            const int x = block_x * block_side + i % block_side;
            const int y = block_y * block_side + i / block_side;
            if (x >= camera_.pixels.x || y >= camera_.pixels.y) continue;
            const auto lane = static_cast<std::size_t>(i);
            const double q = lens_factor(camera_.lens_transmission,
                                         projection_.cos_off_axis({x + 0.5, y + 0.5}));
            const auto seen = static_cast<float>(q / effort_.film_samples);
            // A diffuse surface sends out luminance E / pi.
            const auto lit = static_cast<float>(q / (effort_.film_samples * pi));
            films_.sky_view.at(x, y) = seen * work.sky_view[lane];
            films_.sky_surface.at(x, y) = lit * work.sky_surface[lane];
            for (std::size_t k = 0; k < work.lamp_surface.size(); ++k)
                films_.lamp_surface[k].at(x, y) = lit * work.lamp_surface[k][lane];
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

    const BlockPass pass(camera, light, effort, films);
    const int blocks_x = (width + block_side - 1) / block_side;
    const int blocks_y = (height + block_side - 1) / block_side;
    const double block_share = 1.0 / (static_cast<double>(blocks_x) * blocks_y);
    tbb::parallel_for(
        tbb::blocked_range2d<int>(0, blocks_y, tile_blocks, 0, blocks_x, tile_blocks),
        [&](const tbb::blocked_range2d<int>& tile) {
            Workspace work;
            for (int y = tile.rows().begin(); y != tile.rows().end(); ++y)
                for (int x = tile.cols().begin(); x != tile.cols().end(); ++x) {
                    if (stop.stop_requested()) return;
                    pass.run(x, y, work);
                }
            tile_done(block_share * static_cast<double>(tile.rows().size()) *
                      static_cast<double>(tile.cols().size()));
        });
    return !stop.stop_requested();
}

}  // namespace lampflight
