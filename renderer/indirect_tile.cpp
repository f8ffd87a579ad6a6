#include "renderer/indirect_tile.h"

#include <algorithm>
#include <cmath>

namespace lampflight {
namespace {

constexpr int reach_px = 3;

// Normals further apart than this cosine share nothing.
constexpr float least_cosine = 0.85f;

// A neighbour may lie this many pixel patches off the surface's plane.
constexpr float off_plane_patches = 2.0f;

}  // namespace

void IndirectTile::reset(std::size_t sources) {
    pixels_.fill({});
    light_.resize(sources);
    for (auto& source : light_) source.fill(glm::vec3(0.0f));
}

void IndirectTile::add_surface(int x, int y, const glm::vec3& position_m,
                               const glm::vec3& face_normal, const glm::vec3& reflectance) {
    Pixel& pixel = pixels_[index(x, y)];
    pixel.position_m += position_m;
    pixel.normal += face_normal;
    pixel.reflectance += reflectance;
    pixel.samples += 1.0f;
}

void IndirectTile::add_light(int x, int y, std::size_t source, const glm::vec3& reflectance,
                             const glm::vec3& light) {
    light_[source][index(x, y)] += reflectance * light;
}

float IndirectTile::likeness(const Pixel& a, const Pixel& b) const {
    if (b.samples <= 0.0f) return 0.0f;
    const float cosine = glm::dot(a.normal, b.normal);
    if (cosine <= least_cosine) return 0.0f;
    const float off_plane_m = std::abs(glm::dot(a.normal, b.position_m - a.position_m));
    const float near = 1.0f - off_plane_m / (off_plane_patches * a.patch_m);
    if (near <= 0.0f) return 0.0f;
    return near * (cosine - least_cosine) / (1.0f - least_cosine) * b.samples;
}

void IndirectTile::smooth(const glm::vec3& lens_m, float spread) {
    // Means over a pixel's samples; its light becomes a mean weighted by reflectance, per channel.
    for (std::size_t i = 0; i < pixels_.size(); ++i) {
        Pixel& pixel = pixels_[i];
        if (pixel.samples <= 0.0f) continue;
        pixel.position_m /= pixel.samples;
        pixel.normal /= std::max(glm::length(pixel.normal), 1e-6f);
        pixel.patch_m = spread * glm::distance(pixel.position_m, lens_m);
        for (auto& source : light_)
            source[i] /= glm::max(pixel.reflectance, glm::vec3(1e-9f));
    }
    smoothed_.resize(light_.size());
    for (int y = 0; y < side_px; ++y)
        for (int x = 0; x < side_px; ++x) {
            const std::size_t here = index(x, y);
            for (auto& source : smoothed_) source[here] = glm::vec3(0.0f);
            if (pixels_[here].samples <= 0.0f) continue;
            float total = 0.0f;
            for (int ny = std::max(0, y - reach_px); ny <= std::min(side_px - 1, y + reach_px);
                 ++ny)
                for (int nx = std::max(0, x - reach_px);
                     nx <= std::min(side_px - 1, x + reach_px); ++nx) {
                    const std::size_t there = index(nx, ny);
                    const float weight =
                        there == here ? pixels_[here].samples
                                      : likeness(pixels_[here], pixels_[there]);
                    if (weight <= 0.0f) continue;
                    total += weight;
                    for (std::size_t k = 0; k < light_.size(); ++k)
                        smoothed_[k][here] += weight * light_[k][there];
                }
            for (auto& source : smoothed_) source[here] /= total;
        }
}

glm::vec3 IndirectTile::reflected(int x, int y, std::size_t source) const {
    return pixels_[index(x, y)].reflectance * smoothed_[source][index(x, y)];
}

}  // namespace lampflight
