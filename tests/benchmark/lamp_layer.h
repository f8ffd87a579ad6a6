// The lamp layer: one lamp's light on the surface points of a film, by any method.
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "renderer/lamp_light/lamp_track.h"
#include "tests/benchmark/seen_film.h"

namespace lampflight::bench {

/// Means over each pixel's film samples of reflectance times light, in lux seconds.
using TileLight = TileOf<glm::vec3>;

/// Fills one tile's light and returns how many rays that took. Called from many threads at once.
using TileMethod = std::function<std::uint64_t(const SeenTile& tile, TileLight& light)>;

struct LampLayer {
    std::vector<TileLight> tiles;
    std::uint64_t rays = 0;
};

/// Lights all tiles with all cores. `layer` keeps its memory from call to call.
void light_film(const SeenFilm& film, const TileMethod& method, LampLayer& layer);

/// Luminance of each pixel, tile after tile.
std::vector<float> grey_pixels(const LampLayer& layer);

}  // namespace lampflight::bench
