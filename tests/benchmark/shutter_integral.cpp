// The product's own lamp layer, behind the benchmark's interface.
#include <tbb/enumerable_thread_specific.h>

#include <memory>

#include "renderer/lamp_light/lamp_tile.h"
#include "tests/benchmark/methods.h"
#include "tests/benchmark/prepared.h"

namespace lampflight::bench {

TileMethod shutter_integral(const LampTrack& track, const Prepared& on, const Effort& effort) {
    auto own_tiles = std::make_shared<tbb::enumerable_thread_specific<LampTile>>();
    return [lamp = look_at(track, on.camera_rays(), on.film().pixels), &rays = on.geometry().rays(),
            effort, own_tiles](const SeenTile& tile, TileLight& light) {
        LampTile& lamp_tile = own_tiles->local();
        lamp_tile.begin(tile.view, effort, tile.seed);
        lamp_tile.light(lamp, rays);
        for (std::size_t pixel = 0; pixel < tile_pixels; ++pixel)
            light[pixel] = lamp_tile.reflected_lxs(pixel);
        return lamp_tile.rays();
    };
}

}  // namespace lampflight::bench
