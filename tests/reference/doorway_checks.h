// What a film of the lamp behind a doorway may err: the checks that tests of all lengths share.
#pragma once

#include "renderer/sampling/quality.h"
#include "tests/reference/doorway.h"

namespace lampflight {

/// Of means over 8 x 8 pixels, as rms by level; of sums; and of the brightest pixel in 10,000.
struct AllowedErrors {
    std::array<double, level_bands.size()> rms;
    double sum = 0.002;
    double bright_pixel = 6.0;
};
constexpr AllowedErrors allowed_at_good{{0.04, 0.10, 0.25}};
constexpr AllowedErrors allowed_at_draft{{0.06, 0.15, 0.35}};

/// Truth on blocks of the doorway, one of each group (across, down) of them.
struct DoorwayTruth {
    PlacedShoot shoot;
    std::vector<glm::ivec2> corners_px;
    std::vector<TracedBlock> blocks;
    int bounces;
};
DoorwayTruth doorway_truth(const glm::ivec2& group, const PathTracing& settings);

/// Renders the doorway and holds it against the truth.
void check_doorway(const DoorwayTruth& truth, Quality quality, const AllowedErrors& allowed);

}  // namespace lampflight
