#include "tests/reference/doorway_checks.h"

#include <cmath>
#include <string>

#include "tests/film.h"

namespace lampflight {

DoorwayTruth doorway_truth(const glm::ivec2& group, const PathTracing& settings) {
    DoorwayTruth truth{doorway_shoot(), {}, {}, settings.bounces};
    truth.corners_px = scattered_blocks(truth.shoot.camera.pixels, group);
    truth.blocks = doorway_truth(truth.shoot, truth.corners_px, settings);
    return truth;
}

void check_doorway(const DoorwayTruth& truth, Quality quality, const AllowedErrors& allowed) {
    const Image film = layer_of(
        exposed(truth.shoot, {.quality = quality, .bounces = truth.bounces}), "lamp.surface");
    const LevelErrors errors = level_errors(film, truth.corners_px, truth.blocks);
    for (std::size_t k = 0; k < level_bands.size(); ++k) {
        const LevelErrors::Band& band = errors.bands[k];
        const std::string name = level_bands[k].name;
        MESSAGE(name, ": ", band.blocks, " blocks, rms ", 100.0 * band.rms, " %, sum off by ",
                100.0 * band.sum, " %, the truth itself ", 100.0 * band.truth_rms, " %");
        REQUIRE(band.blocks >= 24);
        CHECK_MESSAGE(band.rms < allowed.rms[k], name);
    }
    MESSAGE("sum off by ", 100.0 * errors.sum, " % (the truth itself ", 100.0 * errors.sum_error,
            " %), in the shade ", 100.0 * errors.shade_sum, " % (", 100.0 * errors.shade_error,
            " %), brightest pixels ", errors.bright_pixel, " times their truth");
    constexpr double beyond_chance = 3.0;  // standard errors
    CHECK(std::abs(errors.sum) < allowed.sum + beyond_chance * errors.sum_error);
    CHECK(std::abs(errors.shade_sum) < allowed.sum + beyond_chance * errors.shade_error);
    CHECK(errors.bright_pixel < allowed.bright_pixel);
}

}  // namespace lampflight
