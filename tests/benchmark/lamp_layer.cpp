#include "tests/benchmark/lamp_layer.h"

#include <tbb/parallel_for.h>

#include <atomic>

#include "scene/basics/vector.h"

namespace lampflight::bench {

void light_film(const SeenFilm& film, const TileMethod& method, LampLayer& layer) {
    layer.tiles.resize(film.tiles.size());
    std::atomic<std::uint64_t> rays = 0;
    tbb::parallel_for(std::size_t{0}, film.tiles.size(),
                      [&](std::size_t t) { rays += method(film.tiles[t], layer.tiles[t]); });
    layer.rays = rays;
}

std::vector<float> grey_pixels(const LampLayer& layer) {
    std::vector<float> grey;
    grey.reserve(layer.tiles.size() * tile_pixels);
    const glm::vec3 weights(luminance_weights);
    for (const TileLight& tile : layer.tiles)
        for (const glm::vec3& light : tile) grey.push_back(glm::dot(weights, light));
    return grey;
}

}  // namespace lampflight::bench
