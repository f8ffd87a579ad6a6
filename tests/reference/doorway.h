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

/// All blocks, each for itself so coarsely that only their sum has a meaning: to 0.03 %, of those
/// in the shade to 0.2 %.
std::vector<TracedBlock> whole_doorway_truth(const PlacedShoot& shoot, int bounces);
std::vector<glm::ivec2> all_blocks(const glm::ivec2& film_px);

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
    struct Sum {
        double off = 0.0;    ///< error of the sum, with its sign
        double truth = 0.0;  ///< standard error of the truth's
    };
    Sum all;
    Sum shade;  ///< of the blocks in the shade
    /// Pixel over its own truth that one in ten thousand exceeds, in the shade. What is darker than
    /// all bands counts as dark as the last of them ends.
    double bright_pixel = 0.0;
};

LevelErrors level_errors(const Image& film, const std::vector<glm::ivec2>& corners_px,
                         const std::vector<TracedBlock>& truth);

}  // namespace lampflight
