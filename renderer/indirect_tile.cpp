#include "renderer/indirect_tile.h"

namespace lampflight {

void IndirectTile::reset(std::size_t sources) {
    reflectance_.fill(glm::vec3(0.0f));
    light_.resize(sources);
    smoothed_.resize(sources);
    for (auto& source : light_) source.fill(glm::vec3(0.0f));
}

void IndirectTile::add_reflectance(std::size_t pixel, const glm::vec3& reflectance) {
    reflectance_[pixel] += reflectance;
}

void IndirectTile::add_light(std::size_t pixel, std::size_t source, const glm::vec3& reflectance,
                             const glm::vec3& light) {
    light_[source][pixel] += reflectance * light;
}

void IndirectTile::smooth(const TileSurfaces& surfaces) {
    // A pixel's light becomes a mean over its samples weighted by reflectance, per channel.
    for (auto& source : light_)
        for (std::size_t i = 0; i < tile_pixels; ++i)
            source[i] /= glm::max(reflectance_[i], glm::vec3(1e-9f));
    for (int y = 0; y < tile_side_px; ++y)
        for (int x = 0; x < tile_side_px; ++x) {
            const std::size_t here = tile_index(x, y);
            for (auto& source : smoothed_) source[here] = glm::vec3(0.0f);
            if (!surfaces.seen(here)) continue;
            float total = 0.0f;
            surfaces.for_each_alike(x, y, [&](std::size_t there, float alike) {
                total += alike;
                for (std::size_t k = 0; k < light_.size(); ++k)
                    smoothed_[k][here] += alike * light_[k][there];
            });
            for (auto& source : smoothed_) source[here] /= total;
        }
}

glm::vec3 IndirectTile::reflected(std::size_t pixel, std::size_t source) const {
    return reflectance_[pixel] * smoothed_[source][pixel];
}

}  // namespace lampflight
