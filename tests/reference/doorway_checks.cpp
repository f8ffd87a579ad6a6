#include "tests/reference/doorway_checks.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "tests/film.h"

namespace lampflight {

DoorwayJudge::DoorwayJudge(const glm::ivec2& group, const PathTracing& settings)
    : shoot_(doorway_shoot()),
      corners_px_(scattered_blocks(shoot_.camera.pixels, group)),
      blocks_(doorway_truth(shoot_, corners_px_, settings)),
      whole_(whole_doorway_truth(shoot_, settings.bounces)),
      bounces_(settings.bounces) {}

void DoorwayJudge::check(Quality quality, const AllowedErrors& allowed) const {
    const Image film =
        layer_of(exposed(shoot_, {.quality = quality, .bounces = bounces_}), "lamp.surface");
    check_levels(film, allowed);
    check_sums(film, allowed);
}

void DoorwayJudge::check_levels(const Image& film, const AllowedErrors& allowed) const {
    const LevelErrors errors = level_errors(film, corners_px_, blocks_);
    for (std::size_t k = 0; k < level_bands.size(); ++k) {
        const LevelErrors::Band& band = errors.bands[k];
        const std::string name = level_bands[k].name;
        MESSAGE(name, ": ", band.blocks, " blocks, rms ", 100.0 * band.rms, " %, sum off by ",
                100.0 * band.sum, " %, the truth itself ", 100.0 * band.truth_rms, " %");
        REQUIRE(band.blocks >= 24);
        // Without the truth's own noise; and of so few blocks an rms is itself only known so well.
        const double rms =
            std::sqrt(std::max(0.0, band.rms * band.rms - band.truth_rms * band.truth_rms));
        const double known = std::sqrt(0.5 / static_cast<double>(band.blocks));
        CHECK_MESSAGE(rms < allowed.rms[k] * (1.0 + 2.0 * known), name);
    }
    MESSAGE("brightest pixels ", errors.bright_pixel, " times their truth");
    CHECK(errors.bright_pixel < allowed.bright_pixel);
}

void DoorwayJudge::check_sums(const Image& film, const AllowedErrors& allowed) const {
    const LevelErrors errors = level_errors(film, all_blocks(shoot_.camera.pixels), whole_);
    constexpr double beyond_chance = 3.0;  // standard errors
    const auto check_sum = [&](const std::string& name, const LevelErrors::Sum& sum,
                               double allowed_sum) {
        MESSAGE(name, ": sum off by ", 100.0 * sum.off, " %, the truth itself ", 100.0 * sum.truth,
                " %");
        CHECK_MESSAGE(std::abs(sum.off) < allowed_sum + beyond_chance * sum.truth, name);
    };
    check_sum("whole film", errors.all, allowed.sum);
    check_sum("in the shade", errors.shade, allowed.shade_sum);
}

}  // namespace lampflight
