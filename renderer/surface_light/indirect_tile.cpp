#include "renderer/surface_light/indirect_tile.h"

#include <algorithm>

#include "renderer/surface_light/final_gather.h"

namespace lampflight {

void IndirectTile::reset(std::size_t skies, std::size_t lamps) {
    sources_ = skies + lamps;
    constexpr std::size_t side_by_side = 8;
    const std::size_t floats = 3 * (sources_ + 2 * skies);
    stride_ = (floats + side_by_side - 1) / side_by_side * side_by_side;
    reflectance_.fill(glm::vec3(0.0f));
    open_sky_.resize(skies);
    for (auto& tile : open_sky_) tile.fill(glm::vec3(0.0f));
    light_.assign(stride_ * tile_pixels, 0.0f);
    smoothed_.resize(light_.size());
}

void IndirectTile::add(std::size_t pixel, std::size_t place, const glm::vec3& light) {
    float* const to = &light_[stride_ * pixel + 3 * place];
    for (int colour = 0; colour < 3; ++colour) to[colour] += light[colour];
}

void IndirectTile::add_reflectance(std::size_t pixel, const glm::vec3& reflectance) {
    reflectance_[pixel] += reflectance;
}

void IndirectTile::add_light(std::size_t pixel, std::size_t source, const glm::vec3& reflectance,
                             const glm::vec3& light) {
    add(pixel, source, reflectance * light);
}

void IndirectTile::add_sky(std::size_t pixel, std::size_t sky, const glm::vec3& reflectance,
                           const glm::vec3& seen_lx, const glm::vec3& asked_lx,
                           const glm::vec3& irradiance_lx) {
    add(pixel, sources_ + 2 * sky, reflectance * seen_lx);
    add(pixel, sources_ + 2 * sky + 1, reflectance * asked_lx);
    open_sky_[sky][pixel] += reflectance * irradiance_lx;
}

void IndirectTile::smooth(const TileSurfaces& surfaces) {
    // A pixel's light becomes a mean over its samples weighted by reflectance, per channel.
    for (std::size_t pixel = 0; pixel < tile_pixels; ++pixel) {
        const glm::vec3 per_reflectance = 1.0f / glm::max(reflectance_[pixel], glm::vec3(1e-9f));
        float* const light = &light_[stride_ * pixel];
        for (std::size_t k = 0; k + 3 <= stride_; k += 3)
            for (int colour = 0; colour < 3; ++colour)
                light[k + static_cast<std::size_t>(colour)] *= per_reflectance[colour];
    }
    for (int y = 0; y < tile_side_px; ++y) smooth_row(surfaces, y);
}

void IndirectTile::smooth_row(const TileSurfaces& surfaces, int y) {
    float* const row = &smoothed_[stride_ * tile_index(0, y)];
    std::fill_n(row, stride_ * tile_side_px, 0.0f);
    TileSurfaces::RowOf total{}, alike;
    constexpr int reach_px = TileSurfaces::reach_px;
    for (int down = -reach_px; down <= reach_px; ++down)
        for (int across = -reach_px; across <= reach_px; ++across) {
            surfaces.likeness(y, {across, down}, alike);
            for (int x = 0; x < tile_side_px; ++x) {
                const float share = alike[static_cast<std::size_t>(x)];
                if (share == 0.0f) continue;
                total[static_cast<std::size_t>(x)] += share;
                float* const to = row + stride_ * static_cast<std::size_t>(x);
                const float* const from = &light_[stride_ * tile_index(x + across, y + down)];
                for (std::size_t k = 0; k < stride_; ++k) to[k] += share * from[k];
            }
        }
    for (std::size_t x = 0; x < tile_side_px; ++x) {
        const float per_total = total[x] > 0.0f ? 1.0f / total[x] : 0.0f;
        for (std::size_t k = 0; k < stride_; ++k) row[stride_ * x + k] *= per_total;
    }
}

glm::vec3 IndirectTile::smoothed(std::size_t pixel, std::size_t place) const {
    const float* const from = &smoothed_[stride_ * pixel + 3 * place];
    return {from[0], from[1], from[2]};
}

glm::vec3 IndirectTile::reflected(std::size_t pixel, std::size_t source) const {
    const glm::vec3 light = reflectance_[pixel] * smoothed(pixel, source);
    if (source >= open_sky_.size()) return light;
    const std::size_t seen = sources_ + 2 * source;
    return light +
           open_sky_[source][pixel] * seen_share(smoothed(pixel, seen), smoothed(pixel, seen + 1));
}

}  // namespace lampflight
