// What the pixels of one tile of film see, and which of them see the same surface: light that is
// smooth along a surface may then be shared among neighbours.
#pragma once

#include "renderer/viewfinder.h"

namespace lampflight {

class TileSurfaces {
public:
    /// `spread` is a pixel's width per unit of distance from the lens.
    void see(const TileView& view, const glm::vec3& lens_m, float spread);

    bool seen(std::size_t pixel) const { return pixels_[pixel].share > 0.0f; }

    /// 0 for pixels on different surfaces, rising to the share of the neighbour that surfaces fill.
    float likeness(std::size_t pixel, std::size_t neighbour) const;

    /// Calls `visit(neighbour, likeness)` for the pixel itself and for those around it that see the
    /// same surface.
    template <class Visit>
    void for_each_alike(int x, int y, Visit visit) const {
        constexpr int reach_px = 3;
        const std::size_t here = tile_index(x, y);
        const int x0 = x < reach_px ? 0 : x - reach_px;
        const int y0 = y < reach_px ? 0 : y - reach_px;
        const int x1 = x + reach_px < tile_side_px ? x + reach_px : tile_side_px - 1;
        const int y1 = y + reach_px < tile_side_px ? y + reach_px : tile_side_px - 1;
        for (int ny = y0; ny <= y1; ++ny)
            for (int nx = x0; nx <= x1; ++nx) {
                const std::size_t there = tile_index(nx, ny);
                const float alike = there == here ? pixels_[here].share : likeness(here, there);
                if (alike > 0.0f) visit(there, alike);
            }
    }

private:
    struct Pixel {
        glm::vec3 position_m{0.0f};
        glm::vec3 normal{0.0f};
        float share = 0.0f;    ///< of the pixel that surfaces fill
        float patch_m = 0.0f;  ///< width of the surface that the pixel sees
    };

    TileOf<Pixel> pixels_;
};

}  // namespace lampflight
