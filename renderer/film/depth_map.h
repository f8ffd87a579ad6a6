// Depth map: how near each pixel of a film sees the geometry.
#pragma once

#include <cstddef>

#include "renderer/film/film_buffer.h"

namespace lampflight {

/// One over the depth along the camera's axis of the nearest surface that a pixel sees, in 1/m: 0
/// where it sees sky alone. Nearest, so that the mixed pixels of an edge go with what stands before
/// it.
struct DepthMap {
    int width = 0;
    int height = 0;
    FilmBuffer<float> nearness_per_m;

    DepthMap() = default;
    DepthMap(int width_px, int height_px)
        : width(width_px),
          height(height_px),
          nearness_per_m(static_cast<std::size_t>(width_px) * static_cast<std::size_t>(height_px)) {
    }

    float& at(int x, int y) {
        return nearness_per_m[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
                              static_cast<std::size_t>(x)];
    }
};

}  // namespace lampflight
