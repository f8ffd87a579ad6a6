// What a film of the lamp behind a doorway may err: the checks that tests of all lengths share.
#pragma once

#include "renderer/sampling/quality.h"
#include "tests/reference/doorway.h"

namespace lampflight {

/// Of means over 8 x 8 pixels, as rms by level; of sums; and of the brightest pixel in 10,000.
struct AllowedErrors {
    std::array<double, level_bands.size()> rms;
    double sum;  ///< of the whole film
    double shade_sum = 0.01;
    /// Where two surfaces touch, smoothing carries light a few pixels into the dark of the corner;
    /// specks would go far beyond.
    double bright_pixel = 20.0;
};
constexpr AllowedErrors allowed_at_good{{0.04, 0.10, 0.25}, 0.0025};
constexpr AllowedErrors allowed_at_draft{{0.06, 0.15, 0.35}, 0.0035};

/// Renders the doorway and holds it against truth: of one block of each group (across, down) by
/// level, and of the whole film as a sum.
class DoorwayJudge {
public:
    DoorwayJudge(const glm::ivec2& group, const PathTracing& settings);

    void check(Quality quality, const AllowedErrors& allowed) const;

private:
    PlacedShoot shoot_;
    std::vector<glm::ivec2> corners_px_;
    std::vector<TracedBlock> blocks_;
    std::vector<TracedBlock> whole_;
    int bounces_;

    void check_levels(const Image& film, const AllowedErrors& allowed) const;
    void check_sums(const Image& film, const AllowedErrors& allowed) const;
};

}  // namespace lampflight
