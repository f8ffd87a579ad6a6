// Visibility field: the share of a lamp's light that arrives, over one tile of film, where it is
// smooth along a surface: what a few instants a pixel found is fitted over 12 x 12 pixels about
// each block by a plane, weighted towards the block, and pixels blend the planes of the blocks
// around them.
//
// A fit is trusted where it leaves no more than the instants' own noise. 2 x 2 pixels together hold
// 4 n even instants, so that T edges in time leave a variance of T / 12 / (4 n)^2; any more is
// structure, which a plane would blur.
#pragma once

#include <array>
#include <cstdint>

#include "renderer/geometry/camera_rays.h"

namespace lampflight {

class VisibilityField {
public:
    /// Which blocks of the tile are plain and how they lie.
    void begin_tile(const TileView& view);

    /// Empties it for another lamp, with so many instants a pixel.
    void begin_lamp(int instants);

    /// One instant of each lane of a plain block: its number among 64, light, and whether it came.
    void add(std::size_t block, const std::array<std::uint8_t, packet_size>& instant,
             const Lanes& light, LaneMask lit);

    /// Fits a plain block; false where the share has structure. `tolerance` is the standard error
    /// of a 2 x 2 cell's share that may pass unseen.
    bool fit(std::size_t block, float tolerance);

    /// Edges of shadow in time that the plain blocks around one met, a cell's mean; its own do not
    /// count. Call after all are added.
    float edges_around(std::size_t block) const;

    /// Share at a pixel of a block that was fitted.
    float visibility(std::size_t block, int lane) const;

private:
    static constexpr int cells_across = tile_side_px / 2;
    static constexpr int cells_across_block = block_side_px / 2;

    struct Lie {
        glm::vec3 position_m{0.0f};
        glm::vec3 normal{0.0f};
        std::uint32_t mesh = 0;
        bool plain = false;  ///< and a surface, not sky
    };
    struct Cell {
        float light = 0.0f;
        float arrived = 0.0f;
        std::uint64_t asked = 0;
        std::uint64_t lit = 0;
    };
    struct Plane {
        float middle, across, down;  ///< share at the block's middle, and per pixel
        bool trusted = false;
    };

    bool alike(const Lie& a, const Lie& b) const;
    template <class Visit>
    void for_each_cell(std::size_t block, Visit visit) const;

    std::array<Lie, tile_blocks> lie_;
    std::array<Cell, cells_across * cells_across> cell_;
    std::array<Plane, tile_blocks> plane_;
    int instants_ = 0;
};

}  // namespace lampflight
