// What the lens sees, found once and kept: every method then lights the same surface points.
#pragma once

#include <vector>

#include "renderer/geometry/camera_rays.h"

namespace lampflight::bench {

struct SeenTile {
    std::uint32_t seed = 0;  ///< a fixed function of the tile's place on the film
    TileView view;
};

/// Tiles of a film, all of them or every so manyth.
struct SeenFilm {
    glm::ivec2 pixels{0};
    int every = 1;
    std::size_t all_tiles = 0;
    std::vector<SeenTile> tiles;

    /// Factor from these tiles to the whole film.
    double whole_over_seen() const {
        return static_cast<double>(all_tiles) / static_cast<double>(tiles.size());
    }
};

/// By the renderer's own camera rays: few film samples where a block of pixels shows one surface,
/// more where surfaces meet.
SeenFilm see_film(const CameraRays& camera_rays, const glm::ivec2& pixels, int every);

/// Pixels that see a surface in any film sample.
std::size_t surface_pixels(const SeenFilm& film);

/// A number that changes with any of the surface points.
std::uint64_t fingerprint(const SeenFilm& film);

}  // namespace lampflight::bench
