#include "renderer/lamp_track.h"

#include <algorithm>
#include <cmath>

namespace lampflight {
namespace {

// A chord this short stays within 0.1 mm of a circle of 1 m radius.
constexpr double longest_chord_m = 0.03;
constexpr std::size_t fewest_instants = 257;
constexpr std::size_t most_instants = 65537;

// Even in sin(w / 2), where a cosine lobe is nearly a Gaussian: interpolation errs by under 0.02 % of
// the peak for beams down to 5 degrees.
constexpr std::size_t intensity_cells = 2048;

std::vector<float> intensity_table(const Lamp& lamp, double scale) {
    const Beam beam(lamp);
    std::vector<float> table(intensity_cells + 2);
    for (std::size_t i = 0; i < table.size(); ++i) {
        const double sin_half = std::min(1.0, static_cast<double>(i) / intensity_cells);
        table[i] = static_cast<float>(scale * beam.intensity_cd(1.0 - 2.0 * sin_half * sin_half));
    }
    return table;
}

std::size_t instants_needed(const LitLamp& lit) {
    if (!lit.path) return 1;
    const double flown_m =
        lit.path->length_m() * std::min(1.0, lit.lit_s / lit.path->duration_s());
    const auto chords = static_cast<std::size_t>(std::ceil(flown_m / longest_chord_m));
    return std::clamp(chords + 1, fewest_instants, most_instants);
}

}  // namespace

LampTrack::LampTrack(const Shoot& shoot, const LitLamp& lit)
    : lamp_(lit.lamp),
      lit_s_(static_cast<float>(lit.lit_s)),
      face_radius_m_(static_cast<float>(lit.lamp->face_mm / 2000.0)),
      colour_(lamp_colour(*lit.lamp)),
      intensity_cd_(intensity_table(*lit.lamp, lit.flux_scale)) {
    const std::size_t count = instants_needed(lit);
    instants_.reserve(count);
    for (std::size_t i = 0; i < count; ++i) {
        const double share = count > 1 ? static_cast<double>(i) / static_cast<double>(count - 1)
                                       : 0.5;
        const double time_s = lit.lit_s * share;
        instants_.push_back({glm::vec3(lit.position_m(time_s)),
                             glm::vec3(aim_direction(shoot, lit, time_s))});
    }
    for (std::size_t i = 1; i < count; ++i)
        path_length_m_ += glm::distance(instants_[i - 1].position_m, instants_[i].position_m);
}

LampInstant LampTrack::at(float time_s) const {
    if (instants_.size() == 1) return instants_.front();
    const float place = std::clamp(time_s / lit_s_, 0.0f, 1.0f) *
                        static_cast<float>(instants_.size() - 1);
    const std::size_t before =
        std::min(static_cast<std::size_t>(place), instants_.size() - 2);
    const float share = place - static_cast<float>(before);
    const LampInstant& a = instants_[before];
    const LampInstant& b = instants_[before + 1];
    return {a.position_m + share * (b.position_m - a.position_m),
            a.aim + share * (b.aim - a.aim)};
}

float LampTrack::intensity_cd(float cos_to_aim) const {
    const float sin_half = std::sqrt(std::clamp(0.5f - 0.5f * cos_to_aim, 0.0f, 1.0f));
    const float place = sin_half * static_cast<float>(intensity_cells);
    const auto cell = static_cast<std::size_t>(place);
    const float share = place - static_cast<float>(cell);
    return intensity_cd_[cell] + share * (intensity_cd_[cell + 1] - intensity_cd_[cell]);
}

}  // namespace lampflight
