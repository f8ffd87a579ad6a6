#include "tests/benchmark/seen_film.h"

#include <tbb/parallel_for.h>

#include <bit>
#include <limits>

#include "renderer/low_discrepancy.h"

namespace lampflight::bench {
namespace {

class Lens {
public:
    Lens(const Stage& stage, const Camera& camera, int film_samples)
        : stage_(stage),
          projection_(camera),
          pixels_(camera.pixels),
          film_samples_(film_samples),
          spread_(static_cast<float>(pixel_pitch_mm(camera).x / camera.focal_mm)) {}

    void see(const glm::ivec2& tile_px, SeenTile& tile) const {
        tile.seed =
            hash_of(static_cast<std::uint32_t>(tile_px.x), static_cast<std::uint32_t>(tile_px.y));
        for (std::size_t block = 0; block < tile_blocks; ++block)
            for (int sample = 0; sample < film_samples_; ++sample) {
                const RayPacket rays = film_rays(tile_px, block, sample);
                if (rays.active == 0) break;
                tile.blocks[block].push_back(
                    stage_.surfaces(rays, stage_.rays().closest(rays), spread_));
            }
    }

private:
    RayPacket film_rays(const glm::ivec2& tile_px, std::size_t block, int sample) const {
        RayPacket rays;
        rays.reach.lane.fill(std::numeric_limits<float>::infinity());
        const Vec2 within(film_sample_place(sample, film_samples_));
        for (int i = 0; i < packet_size; ++i) {
            const int pixel = static_cast<int>(tile_pixel(block, i));
            const glm::ivec2 film_px =
                tile_px + glm::ivec2(pixel % tile_side_px, pixel / tile_side_px);
            if (film_px.x >= pixels_.x || film_px.y >= pixels_.y) continue;
            rays.origin_m.set(i, glm::vec3(projection_.position_m()));
            rays.direction.set(i, glm::vec3(projection_.direction(Vec2(film_px) + within)));
            rays.active |= 1u << i;
        }
        return rays;
    }

    const Stage& stage_;
    Projection projection_;
    glm::ivec2 pixels_;
    int film_samples_;
    float spread_;
};

/// Calls `visit` for every surface point: packet and lane.
template <class Visit>
void for_each_point(const SeenFilm& film, Visit visit) {
    for (const SeenTile& tile : film.tiles)
        for (const BlockSurfaces& block : tile.blocks)
            for (const SurfacePacket& points : block)
                for (int i = 0; i < packet_size; ++i)
                    if (has_lane(points.found, i)) visit(points, i);
}

}  // namespace

SeenFilm see_film(const Stage& stage, const Camera& camera, int film_samples, int every) {
    const glm::ivec2 tiles = (camera.pixels + tile_side_px - 1) / tile_side_px;
    SeenFilm film;
    film.pixels = camera.pixels;
    film.film_samples = film_samples;
    film.every = every;
    film.all_tiles = static_cast<std::size_t>(tiles.x) * static_cast<std::size_t>(tiles.y);
    film.tiles.resize((film.all_tiles + static_cast<std::size_t>(every) - 1) /
                      static_cast<std::size_t>(every));
    const Lens lens(stage, camera, film_samples);
    tbb::parallel_for(std::size_t{0}, film.tiles.size(), [&](std::size_t t) {
        const int place = static_cast<int>(t) * every;
        lens.see(tile_side_px * glm::ivec2(place % tiles.x, place / tiles.x), film.tiles[t]);
    });
    return film;
}

std::size_t surface_pixels(const SeenFilm& film) {
    std::size_t count = 0;
    for (const SeenTile& tile : film.tiles)
        for (const BlockSurfaces& block : tile.blocks) {
            LaneMask found = 0;
            for (const SurfacePacket& points : block) found |= points.found;
            count += static_cast<std::size_t>(std::popcount(found));
        }
    return count;
}

std::uint64_t fingerprint(const SeenFilm& film) {
    std::uint64_t hash = 0xcbf29ce484222325u;  // FNV-1a's constants, four bytes a step
    const auto mix = [&](float value) {
        hash = (hash ^ std::bit_cast<std::uint32_t>(value)) * 0x100000001b3u;
    };
    for_each_point(film, [&](const SurfacePacket& points, int i) {
        for (const LaneVectors* part :
             {&points.position_m, &points.normal, &points.face_normal, &points.reflectance})
            for (const float value : {part->x[i], part->y[i], part->z[i]}) mix(value);
    });
    return hash;
}

}  // namespace lampflight::bench
