// The product's own lamp layer, behind the benchmark's interface.
#include <tbb/enumerable_thread_specific.h>

#include <memory>

#include "tests/benchmark/methods.h"

namespace lampflight::bench {
namespace {

/// Rays that the tile asked, where it tells.
template <class Tile>
std::uint64_t rays_of(const Tile& tile) {
    if constexpr (requires { tile.rays(); })
        return tile.rays();
    else
        return 0;
}

}  // namespace

TileMethod shutter_integral(const LampTrack& track, const RayQuery& rays, const Effort& effort) {
    auto own_tiles = std::make_shared<tbb::enumerable_thread_specific<LampTile>>();
    return [&track, &rays, effort, own_tiles](const SeenTile& tile, TileLight& light) {
        LampTile& lamp_tile = own_tiles->local();
        lamp_tile.light(track, rays, tile.blocks, effort, tile.seed);
        for (std::size_t pixel = 0; pixel < tile_pixels; ++pixel)
            light[pixel] = lamp_tile.reflected_lxs(pixel);
        return rays_of(lamp_tile);
    };
}

}  // namespace lampflight::bench
