// Tiles of film: 32 x 32 pixels in blocks of 4 x 4, each block one packet.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

#include <glm/glm.hpp>

namespace lampflight {

constexpr int tile_side_px = 32;
constexpr std::size_t tile_pixels = static_cast<std::size_t>(tile_side_px) * tile_side_px;

constexpr int block_side_px = 4;
constexpr int blocks_across_tile = tile_side_px / block_side_px;
constexpr std::size_t tile_blocks =
    static_cast<std::size_t>(blocks_across_tile) * blocks_across_tile;

/// One value for each pixel of a tile, rows from the top.
template <class Value>
using TileOf = std::array<Value, tile_pixels>;

constexpr std::size_t tile_index(int x, int y) {
    return static_cast<std::size_t>(y * tile_side_px + x);
}

/// Pixel of the tile that a lane of a block stands for.
constexpr std::size_t tile_pixel(std::size_t block, int lane) {
    const int x = static_cast<int>(block) % blocks_across_tile * block_side_px;
    const int y = static_cast<int>(block) / blocks_across_tile * block_side_px;
    return tile_index(x + lane % block_side_px, y + lane / block_side_px);
}

/// Blocks by turns of their coordinates' bits (Morton 1966): those that follow lie near each other.
constexpr std::uint32_t turn_of_block(std::size_t block) {
    const auto x = static_cast<std::uint32_t>(block % blocks_across_tile);
    const auto y = static_cast<std::uint32_t>(block / blocks_across_tile);
    std::uint32_t turn = 0;
    for (std::uint32_t bit = 0; (1u << bit) < blocks_across_tile; ++bit)
        turn |= (x >> bit & 1u) << (2 * bit) | (y >> bit & 1u) << (2 * bit + 1);
    return turn;
}

struct LaneInTile {
    std::size_t block;
    int lane;
};

/// The block and lane of a pixel of the tile.
inline LaneInTile lane_in_tile(const glm::ivec2& pixel) {
    const glm::ivec2 block = pixel / block_side_px;
    const glm::ivec2 within = pixel % block_side_px;
    return {static_cast<std::size_t>(block.y * blocks_across_tile + block.x),
            within.y * block_side_px + within.x};
}

inline glm::ivec2 place_in_tile(std::size_t pixel) {
    const int p = static_cast<int>(pixel);
    return {p % tile_side_px, p / tile_side_px};
}

}  // namespace lampflight
