// What the lens sees, found once and kept: every method then lights the same surface points.
#pragma once

#include <array>
#include <vector>

#include "renderer/lamp_tile.h"
#include "renderer/stage.h"
#include "scene/camera.h"

namespace lampflight::bench {

struct SeenTile {
    std::uint32_t seed = 0;  ///< a fixed function of the tile's place on the film
    std::array<BlockSurfaces, tile_blocks> blocks;
};

/// Tiles of a film, all of them or every so manyth.
struct SeenFilm {
    glm::ivec2 pixels{0};
    int film_samples = 0;
    int every = 1;
    std::size_t all_tiles = 0;
    std::vector<SeenTile> tiles;

    /// Factor from these tiles to the whole film.
    double whole_over_seen() const {
        return static_cast<double>(all_tiles) / static_cast<double>(tiles.size());
    }
};

SeenFilm see_film(const Stage& stage, const Camera& camera, int film_samples, int every);

/// Pixels that see a surface in any film sample.
std::size_t surface_pixels(const SeenFilm& film);

/// A number that changes with any of the surface points.
std::uint64_t fingerprint(const SeenFilm& film);

}  // namespace lampflight::bench
