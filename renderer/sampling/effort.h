// What a quality costs: error bounds and sample counts of one and the same computation.
#pragma once

#include <glm/glm.hpp>

#include "renderer/sampling/quality.h"

namespace lampflight {

struct Effort {
    int film_samples;      ///< rays from the lens a pixel where surfaces meet; an even power of two
    int plain_samples;     ///< where a block shows one surface; even
    int first_instants;    ///< asked in each pixel of a plain block; a power of two up to 16
    int solved_instants;   ///< asked at first where a pixel is solved by itself; a power of two
    float smooth_error;    ///< what may pass unseen in the share of light on 2 x 2 pixels
    float shadow_error;    ///< expected relative error of a pixel's light where it is solved
    int directions;        ///< gathering rays a pixel where surfaces meet
    int plain_directions;  ///< where a block shows one surface
    float patch_rays;      ///< to what lamps light, a pixel, where a block shows one surface
    int disc_rays;         ///< to the sun's or moon's disc, a pixel
    int cell_instants;     ///< in each cell, for light that bounces; a power of two
    int cell_directions;
};

/// At 960 x 640 pixels.
constexpr Effort effort_of(Quality quality) {
    switch (quality) {
        case Quality::draft:
            return {.film_samples = 4,
                    .plain_samples = 2,
                    .first_instants = 2,
                    .solved_instants = 4,
                    .smooth_error = 0.05f,
                    .shadow_error = 0.06f,
                    .directions = 4,
                    .plain_directions = 2,
                    .patch_rays = 2.0f,
                    .disc_rays = 2,
                    .cell_instants = 4,
                    .cell_directions = 8};
        case Quality::good:
            return {.film_samples = 8,
                    .plain_samples = 2,
                    .first_instants = 4,
                    .solved_instants = 16,
                    .smooth_error = 0.012f,
                    .shadow_error = 0.014f,
                    .directions = 24,
                    .plain_directions = 8,
                    .patch_rays = 4.0f,
                    .disc_rays = 8,
                    .cell_instants = 16,
                    .cell_directions = 24};
        case Quality::fine:
            break;
    }
    return {.film_samples = 16,
            .plain_samples = 4,
            .first_instants = 8,
            .solved_instants = 32,
            .smooth_error = 0.004f,
            .shadow_error = 0.005f,
            .directions = 192,
            .plain_directions = 48,
            .patch_rays = 12.0f,
            .disc_rays = 32,
            .cell_instants = 32,
            .cell_directions = 64};
}

/// The same quality for another number of pixels. Pictures are looked at in one size, where many
/// small pixels may each err more for the same noise: errors go with the picture's side, instants
/// and samples against it, within bounds that no pixel should leave however closely it is looked
/// at.
Effort scaled_to(Effort effort, const glm::ivec2& pixels);

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
