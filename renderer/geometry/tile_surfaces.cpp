#include "renderer/geometry/tile_surfaces.h"

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
    any_seen_ = false;
    share_.fill(0.0f);
    patch_m_.fill(1.0f);
    for (auto* vectors : {&position_m_, &normal_})
        for (auto& component : *vectors) component.fill(0.0f);
    for (std::size_t block = 0; block < tile_blocks; ++block)
        for (const SurfacePacket& points : view.blocks[block])
            for (int i = 0; i < packet_size; ++i) {
                if (!has_lane(points.found, i)) continue;
                const std::size_t pixel = tile_pixel(block, i);
                const float share = view.sample_share(block, i);
                share_[pixel] += share;
                any_seen_ = true;
                for (int axis = 0; axis < 3; ++axis) {
                    const auto a = static_cast<std::size_t>(axis);
                    position_m_[a][pixel] += share * points.position_m.at(i)[axis];
                    normal_[a][pixel] += points.face_normal.at(i)[axis];
                }
            }
    for (std::size_t pixel = 0; pixel < tile_pixels; ++pixel) {
        if (share_[pixel] <= 0.0f) continue;
        const glm::vec3 position_m =
            glm::vec3(position_m_[0][pixel], position_m_[1][pixel], position_m_[2][pixel]) /
            share_[pixel];
        glm::vec3 normal(normal_[0][pixel], normal_[1][pixel], normal_[2][pixel]);
        normal /= std::max(glm::length(normal), 1e-6f);
        for (int axis = 0; axis < 3; ++axis) {
            position_m_[static_cast<std::size_t>(axis)][pixel] = position_m[axis];
            normal_[static_cast<std::size_t>(axis)][pixel] = normal[axis];
        }
        patch_m_[pixel] = spread * glm::distance(position_m, lens_m);
    }
}

void TileSurfaces::likeness(int y, const glm::ivec2& offset, RowOf& alike) const {
    alike.fill(0.0f);
    if (y + offset.y < 0 || y + offset.y >= tile_side_px) return;
    const int first = std::max(0, -offset.x);
    const int end = std::min(tile_side_px, tile_side_px - offset.x);
    const std::size_t row = tile_index(0, y);
    const std::size_t other = tile_index(0, y + offset.y);
    for (int x = first; x < end; ++x) {
        const std::size_t a = row + static_cast<std::size_t>(x);
        const std::size_t b = other + static_cast<std::size_t>(x + offset.x);
        float cosine = 0.0f, off_plane_m = 0.0f;
        for (std::size_t axis = 0; axis < 3; ++axis) {
            cosine += normal_[axis][a] * normal_[axis][b];
            off_plane_m += normal_[axis][a] * (position_m_[axis][b] - position_m_[axis][a]);
        }
        const float near = 1.0f - std::abs(off_plane_m) / (off_plane_patches * patch_m_[a]);
        alike[static_cast<std::size_t>(x)] = share_[b] * std::max(near, 0.0f) *
                                             std::max(cosine - least_cosine, 0.0f) /
                                             (1.0f - least_cosine);
    }
}

}  // namespace lampflight
