// What a quality costs: sample counts of one and the same computation.
#pragma once

#include "renderer/low_discrepancy.h"
#include "renderer/render.h"

namespace lampflight {

struct Effort {
    int film_samples;       ///< rays from the lens a pixel
    int strata;             ///< instants of a lamp's shutter a pixel, for 30 m of path
    int directions;         ///< gathering rays a pixel
    int cell_strata;        ///< the same two in each cell, for light that bounces
    int cell_directions;
};

constexpr Effort effort_of(Quality quality) {
    switch (quality) {
        case Quality::draft: return {4, 32, 24, 16, 16};
        case Quality::good: return {8, 64, 96, 24, 32};
        case Quality::fine: break;
    }
    return {16, 192, 256, 48, 64};
}

/// Place of a film sample within its pixel, in [0, 1)^2; a pixel is the mean over these.
inline glm::vec2 film_sample_place(int sample) {
    return plane_place(static_cast<std::uint32_t>(sample), {0.5f, 0.5f});
}

}  // namespace lampflight
