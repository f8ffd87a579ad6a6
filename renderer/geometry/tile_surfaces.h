// What the pixels of one tile of film see, and which of them see the same surface: light that is
// smooth along a surface may then be shared among neighbours.
#pragma once

#include <array>

#include "renderer/geometry/camera_rays.h"

namespace lampflight {

class TileSurfaces {
public:
    /// `spread` is a pixel's width per unit of distance from the lens.
    void see(const TileView& view, const glm::vec3& lens_m, float spread);

    bool seen(std::size_t pixel) const { return share_[pixel] > 0.0f; }
    bool any_seen() const { return any_seen_; }

    /// Neighbours so far away, along a row or down, may share.
    static constexpr int reach_px = 3;

    using RowOf = std::array<float, tile_side_px>;

    /// For each pixel of a row and its neighbour at an offset: 0 if they see different surfaces or
    /// the neighbour lies beyond the tile, rising to the share of the neighbour that surfaces fill.
    void likeness(int y, const glm::ivec2& offset, RowOf& alike) const;

private:
    bool any_seen_ = false;

    using Vectors = std::array<TileOf<float>, 3>;  // by component, for many pixels at once

    Vectors position_m_;
    Vectors normal_;
    TileOf<float> share_;    ///< of the pixel that surfaces fill
    TileOf<float> patch_m_;  ///< width of the surface that the pixel sees
};

}  // namespace lampflight
