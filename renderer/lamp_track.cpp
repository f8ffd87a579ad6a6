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
        lit.path->length_m() * std::min(1.0, lit.lit_s() / lit.path->duration_s());
    const auto chords = static_cast<std::size_t>(std::ceil(flown_m / longest_chord_m));
    return std::clamp(chords + 1, fewest_instants, most_instants);
}

/// Where in a table with so many cells a time lies: the cell before it and the share of it.
struct TablePlace {
    int cell;
    float share;
};

inline TablePlace place_of(float time_s, float lit_s, int cells) {
    const float place =
        std::min(std::max(time_s / lit_s, 0.0f), 1.0f) * static_cast<float>(cells);
    const int cell = std::min(static_cast<int>(place), cells - 1);
    return {cell, place - static_cast<float>(cell)};
}

inline float between(const float* table, const TablePlace& place) {
    return table[place.cell] + place.share * (table[place.cell + 1] - table[place.cell]);
}

inline float looked_up_cd(const float* table, float cos_to_aim) {
    const float half = std::min(std::max(0.5f - 0.5f * cos_to_aim, 0.0f), 1.0f);
    const float place = std::sqrt(half) * static_cast<float>(intensity_cells);
    const int cell = static_cast<int>(place);
    return between(table, {cell, place - static_cast<float>(cell)});
}

}  // namespace

LampTrack::LampTrack(const Shoot& shoot, const LitLamp& lit)
    : intensity_cd_(intensity_table(*lit.lamp, lit.flux_scale)),
      lit_s_(static_cast<float>(lit.lit_s())),
      face_radius_m_(static_cast<float>(lit.lamp->face_mm / 2000.0)),
      colour_(lamp_colour(*lit.lamp)) {
    const std::size_t count = instants_needed(lit);
    cells_ = static_cast<int>(count) - 1;
    glm::vec3 before_m(0.0f);
    for (std::size_t i = 0; i < count; ++i) {
        const double share =
            cells_ > 0 ? static_cast<double>(i) / static_cast<double>(cells_) : 0.5;
        const double time_s = lit.lit_s() * share;
        const glm::vec3 position_m(lit.position_m(time_s));
        const glm::vec3 aim(aim_direction(shoot, lit, time_s));
        for (int axis = 0; axis < 3; ++axis) {
            position_m_[static_cast<std::size_t>(axis)].push_back(position_m[axis]);
            aim_[static_cast<std::size_t>(axis)].push_back(aim[axis]);
        }
        if (i > 0) path_length_m_ += glm::distance(before_m, position_m);
        before_m = position_m;
    }
}

LampInstant LampTrack::at(float time_s) const {
    const TablePlace place = moves() ? place_of(time_s, lit_s_, cells_) : TablePlace{0, 0.0f};
    const auto entry = [&](const std::array<std::vector<float>, 3>& table) {
        if (!moves()) return glm::vec3(table[0][0], table[1][0], table[2][0]);
        return glm::vec3(between(table[0].data(), place), between(table[1].data(), place),
                         between(table[2].data(), place));
    };
    return {entry(position_m_), entry(aim_)};
}

void LampTrack::at(const Lanes& time_s, LampInstants& instants) const {
    const auto fill = [&](const std::array<std::vector<float>, 3>& table, LaneVectors& to) {
        const float* x = table[0].data();
        const float* y = table[1].data();
        const float* z = table[2].data();
        if (!moves()) {
            to.x.lane.fill(*x);
            to.y.lane.fill(*y);
            to.z.lane.fill(*z);
            return;
        }
        for (int i = 0; i < packet_size; ++i) {
            const TablePlace place = place_of(time_s[i], lit_s_, cells_);
            to.x[i] = between(x, place);
            to.y[i] = between(y, place);
            to.z[i] = between(z, place);
        }
    };
    fill(position_m_, instants.position_m);
    fill(aim_, instants.aim);
}

float LampTrack::intensity_cd(float cos_to_aim) const {
    return looked_up_cd(intensity_cd_.data(), cos_to_aim);
}

void LampTrack::intensity_cd(const Lanes& cos_to_aim, Lanes& intensity) const {
    const float* table = intensity_cd_.data();
    for (int i = 0; i < packet_size; ++i) intensity[i] = looked_up_cd(table, cos_to_aim[i]);
}

}  // namespace lampflight
