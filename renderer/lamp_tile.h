// One lamp's light on one tile of film: where its rays go, and where none are needed.
//
// Unshadowed light costs no rays and is summed over all strata for every film sample. What rays
// must find is only the share of it that arrives at each, 0 to 1:
//  1. every block of 4 x 4 pixels asks a few instants, different ones in each pixel;
//  2. where a plain block and those around it agree that all is lit, or all dark, that is so: the
//     hundred instants and more of a neighbourhood let no shadow worth seeing slip through;
//  3. elsewhere the block asks one instant of every stratum in each pixel, the film samples taking
//     turns, and then more turns until the expected error is within the bound.
#pragma once

#include <span>
#include <vector>

#include "renderer/effort.h"
#include "renderer/shutter_integral.h"
#include "renderer/tile_surfaces.h"

namespace lampflight {

constexpr int block_side_px = 4;
constexpr int blocks_across_tile = tile_side_px / block_side_px;
constexpr std::size_t tile_blocks =
    static_cast<std::size_t>(blocks_across_tile) * blocks_across_tile;

/// Surfaces of a block, one packet a film sample; empty where the block lies beyond the film.
using BlockSurfaces = std::vector<SurfacePacket>;

/// Pixel of the tile that a lane of a block stands for.
constexpr std::size_t tile_pixel(std::size_t block, int lane) {
    const int x = static_cast<int>(block) % blocks_across_tile * block_side_px;
    const int y = static_cast<int>(block) / blocks_across_tile * block_side_px;
    return tile_index(x + lane % block_side_px, y + lane / block_side_px);
}

class LampTile {
public:
    /// Fills in the sum over the film samples of reflectance times light, in lux seconds.
    void light(const LampTrack& track, const RayQuery& rays,
               std::span<const BlockSurfaces, tile_blocks> blocks, const Effort& effort,
               std::uint32_t seed);

    glm::vec3 reflected_lxs(std::size_t pixel) const { return reflected_lxs_[pixel]; }

private:
    /// One film sample of a block: light at its sixteen points, in lux seconds.
    struct Sample {
        Lanes unshadowed_lxs{};
        Lanes asked_lxs{};    ///< at the instants asked for, nothing in between
        Lanes arrived_lxs{};  ///< of that
    };

    struct Block {
        TimeStrata strata;
        float shift = 0.0f;
        std::vector<Sample> samples;
        int lit = 0;         ///< rays that reached the lamp
        int dark = 0;        ///< rays that did not
        float share = 0.0f;  ///< of the whole block's light, for points that no instant asked about
    };

    /// Strata that each film sample takes: in turn t, sample j of n those that leave (j + t) mod n
    /// when divided by n; in one of several passes every so manyth of these, from another one on in
    /// each sample, so that a pass spans the whole flight.
    struct Turn {
        int turn = 0;
        int pass = 0;
        int passes = 1;
    };

    void begin(const LampTrack& track, const BlockSurfaces& packets, const Effort& effort,
               Block& block) const;
    void ask(const LampTrack& track, const RayQuery& rays, const BlockSurfaces& packets,
             const Turn& turn, Block& block) const;
    void refine(const LampTrack& track, const RayQuery& rays, const BlockSurfaces& packets,
                const Effort& effort, Block& block) const;
    bool in_doubt(std::size_t block) const;
    static float share_of(const Block& block, const Sample& sample, int lane);
    static void share_in_all(Block& block);
    static float expected_error(const BlockSurfaces& packets, const Block& block, int instants);

    std::array<Block, tile_blocks> blocks_;
    TileOf<glm::vec3> reflected_lxs_;
};

}  // namespace lampflight
