#include "renderer/tile_surfaces.h"

#include <algorithm>
#include <cmath>

namespace lampflight {
namespace {

// Normals further apart than this cosine share nothing.
constexpr float least_cosine = 0.85f;

// A neighbour may lie this many pixel patches off the surface's plane.
constexpr float off_plane_patches = 2.0f;

}  // namespace

void TileSurfaces::see(const TileView& view, const glm::vec3& lens_m, float spread) {
    pixels_.fill({});
    for (std::size_t block = 0; block < tile_blocks; ++block)
        for (const SurfacePacket& points : view.blocks[block])
            for (int i = 0; i < packet_size; ++i) {
                if (!has_lane(points.found, i)) continue;
                Pixel& pixel = pixels_[tile_pixel(block, i)];
                const float share = view.sample_share(block);
                pixel.position_m += share * points.position_m.at(i);
                pixel.normal += points.face_normal.at(i);
                pixel.share += share;
            }
    for (Pixel& pixel : pixels_) {
        if (pixel.share <= 0.0f) continue;
        pixel.position_m /= pixel.share;
        pixel.normal /= std::max(glm::length(pixel.normal), 1e-6f);
        pixel.patch_m = spread * glm::distance(pixel.position_m, lens_m);
    }
}

float TileSurfaces::likeness(std::size_t pixel, std::size_t neighbour) const {
    const Pixel& a = pixels_[pixel];
    const Pixel& b = pixels_[neighbour];
    if (b.share <= 0.0f) return 0.0f;
    const float cosine = glm::dot(a.normal, b.normal);
    if (cosine <= least_cosine) return 0.0f;
    const float off_plane_m = std::abs(glm::dot(a.normal, b.position_m - a.position_m));
    const float near = 1.0f - off_plane_m / (off_plane_patches * a.patch_m);
    if (near <= 0.0f) return 0.0f;
    return near * (cosine - least_cosine) / (1.0f - least_cosine) * b.share;
}

}  // namespace lampflight
