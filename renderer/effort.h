// What a quality costs: sample counts of one and the same computation.
#pragma once

#include <glm/glm.hpp>

#include "renderer/render.h"

namespace lampflight {

struct Effort {
    int film_samples;     ///< rays from the lens a pixel
    int strata;           ///< instants of a lamp's shutter a pixel, for 30 m of path
    int first_strata;     ///< of these, asked before it is known whether there is a shadow near
    float shadow_error;   ///< expected relative error of a pixel's light where there is
    int mixed_turns;      ///< least turns where several surfaces meet in a block
    int directions;       ///< gathering rays a pixel
    int cell_strata;      ///< the same two in each cell, for light that bounces
    int cell_directions;
};

constexpr Effort effort_of(Quality quality) {
    switch (quality) {
        case Quality::draft:
            return {.film_samples = 4,
                    .strata = 16,
                    .first_strata = 4,
                    .shadow_error = 0.1f,
                    .mixed_turns = 1,
                    .directions = 8,
                    .cell_strata = 8,
                    .cell_directions = 8};
        case Quality::good:
            return {.film_samples = 8,
                    .strata = 48,
                    .first_strata = 8,
                    .shadow_error = 0.025f,
                    .mixed_turns = 8,
                    .directions = 48,
                    .cell_strata = 24,
                    .cell_directions = 32};
        case Quality::fine:
            break;
    }
    return {.film_samples = 16,
            .strata = 64,
            .first_strata = 32,
            .shadow_error = 0.015f,
            .mixed_turns = 8,
            .directions = 192,
            .cell_strata = 48,
            .cell_directions = 64};
}

/// Place of a film sample within its pixel, in (0, 1)^2; a pixel is the mean over these. The
/// Hammersley set of a power of two: their own mean is the pixel's middle.
inline glm::vec2 film_sample_place(int sample, int count) {
    int reversed = 0;
    for (int low = 1, high = count / 2; high > 0; low *= 2, high /= 2)
        if ((sample & low) != 0) reversed += high;
    return {(static_cast<float>(sample) + 0.5f) / static_cast<float>(count),
            (static_cast<float>(reversed) + 0.5f) / static_cast<float>(count)};
}

}  // namespace lampflight
