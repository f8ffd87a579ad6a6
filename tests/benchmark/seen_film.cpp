#include "tests/benchmark/seen_film.h"

#include <tbb/parallel_for.h>

#include <bit>

#include "renderer/sampling/low_discrepancy.h"

namespace lampflight::bench {
namespace {

/// Calls `visit` for every surface point: packet and lane.
template <class Visit>
void for_each_point(const SeenFilm& film, Visit visit) {
    for (const SeenTile& tile : film.tiles)
        for (const BlockSurfaces& block : tile.view.blocks)
            for (const SurfacePacket& points : block)
                for (int i = 0; i < packet_size; ++i)
                    if (has_lane(points.found, i)) visit(points, i);
}

}  // namespace

SeenFilm see_film(const CameraRays& camera_rays, const glm::ivec2& pixels, int every) {
    const glm::ivec2 tiles = (pixels + tile_side_px - 1) / tile_side_px;
    SeenFilm film;
    film.pixels = pixels;
    film.every = every;
    film.all_tiles = static_cast<std::size_t>(tiles.x) * static_cast<std::size_t>(tiles.y);
    film.tiles.resize((film.all_tiles + static_cast<std::size_t>(every) - 1) /
                      static_cast<std::size_t>(every));
    tbb::parallel_for(std::size_t{0}, film.tiles.size(), [&](std::size_t t) {
        const int place = static_cast<int>(t) * every;
        const glm::ivec2 corner_px = tile_side_px * glm::ivec2(place % tiles.x, place / tiles.x);
        SeenTile& tile = film.tiles[t];
        tile.seed = hash_of(static_cast<std::uint32_t>(corner_px.x),
                            static_cast<std::uint32_t>(corner_px.y));
        camera_rays.see(corner_px, tile.view);
        for (BlockSurfaces& block : tile.view.blocks) block.shrink_to_fit();
    });
    return film;
}

std::size_t surface_pixels(const SeenFilm& film) {
    std::size_t count = 0;
    for (const SeenTile& tile : film.tiles)
        for (const BlockSurfaces& block : tile.view.blocks) {
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
