#include "renderer/indirect_tile.h"

#include "renderer/gather.h"

namespace lampflight {

void IndirectTile::reset(std::size_t skies, std::size_t lamps) {
    sources_ = skies + lamps;
    reflectance_.fill(glm::vec3(0.0f));
    open_sky_.resize(skies);
    light_.resize(sources_ + 2 * skies);
    smoothed_.resize(light_.size());
    for (auto* tiles : {&open_sky_, &light_})
        for (auto& tile : *tiles) tile.fill(glm::vec3(0.0f));
}

void IndirectTile::add_reflectance(std::size_t pixel, const glm::vec3& reflectance) {
    reflectance_[pixel] += reflectance;
}

void IndirectTile::add_light(std::size_t pixel, std::size_t source, const glm::vec3& reflectance,
                             const glm::vec3& light) {
    light_[source][pixel] += reflectance * light;
}

void IndirectTile::add_sky(std::size_t pixel, std::size_t sky, const glm::vec3& reflectance,
                           const glm::vec3& seen_lx, const glm::vec3& asked_lx,
                           const glm::vec3& open_lx) {
    light_[sources_ + 2 * sky][pixel] += reflectance * seen_lx;
    light_[sources_ + 2 * sky + 1][pixel] += reflectance * asked_lx;
    open_sky_[sky][pixel] += reflectance * open_lx;
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
    const glm::vec3 light = reflectance_[pixel] * smoothed_[source][pixel];
    if (source >= open_sky_.size()) return light;
    const std::size_t seen = sources_ + 2 * source;
    return light + open_sky_[source][pixel] *
                       seen_share(smoothed_[seen][pixel], smoothed_[seen + 1][pixel]);
}

}  // namespace lampflight
