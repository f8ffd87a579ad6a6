// The scene behind a doorway, and how a film of it is held against the path tracer's, level by
// level.
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "renderer/film/image.h"
#include "scene/shoot/placed_shoot.h"
#include "tests/reference/path_tracer.h"

namespace lampflight {

std::string doorway_file();

/// tests/doorway/doorway.toml, 960 x 640. Throws std::runtime_error when it can't be read.
PlacedShoot doorway_shoot();

/// Of every `groups` (across, down) of blocks one, at random within them; corners in pixels.
std::vector<glm::ivec2> scattered_blocks(const glm::ivec2& film_px, const glm::ivec2& group);

/// The path tracer's light on those blocks of the doorway.
std::vector<TracedBlock> doorway_truth(const PlacedShoot& shoot,
                                       const std::vector<glm::ivec2>& corners_px,
                                       const PathTracing& settings);

/// Blocks without direct light between two levels, in stops above the mean of the lit strip.
struct LevelBand {
    const char* name;
    double from_stops;
    double to_stops;
};
constexpr std::array<LevelBand, 3> level_bands{
    {{"wall", -5.0, -3.0}, {"ground", -7.0, -5.0}, {"slits", -10.0, -7.0}}};

/// Mean of the blocks that the lamp lights straight.
double strip_lxs(const std::vector<TracedBlock>& truth);

/// Level of a block in stops above the strip; nothing sensible for one that is partly lit straight.
double level_stops(const TracedBlock& block, double strip);

/// Whether next to none of a block's light is direct.
bool in_shade(const TracedBlock& block);

/// All as shares of the truth.
struct LevelErrors {
    struct Band {
        std::size_t blocks = 0;
        double rms = 0.0;        ///< of means over blocks, each against its own truth
        double sum = 0.0;        ///< error of the sum of the band, with its sign
        double truth_rms = 0.0;  ///< standard errors of the truth, root of the mean square
    };
    std::array<Band, level_bands.size()> bands;
    double sum = 0.0;        ///< error of the sum of all blocks
    double sum_error = 0.0;  ///< standard error of the truth of that
    double shade_sum = 0.0;  ///< as `sum`, of those in the shade
    double shade_error = 0.0;
    /// Pixel over its own truth that one in ten thousand exceeds, in the shade. What is darker than
    /// all bands counts as dark as the last of them ends.
    double bright_pixel = 0.0;
};

LevelErrors level_errors(const Image& film, const std::vector<glm::ivec2>& corners_px,
                         const std::vector<TracedBlock>& truth);

}  // namespace lampflight
