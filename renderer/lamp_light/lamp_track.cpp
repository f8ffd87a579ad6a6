#include "renderer/lamp_light/lamp_track.h"

#include <algorithm>
#include <cmath>

namespace lampflight {
namespace {

// A chord this short stays within 0.1 mm of a circle of 1 m radius.
constexpr double longest_chord_m = 0.03;
constexpr double shortest_window_s = 1e-6;  // breaks nearer than this are one
constexpr double fewest_cells = 256.0;  // of all the lit time together
constexpr double most_cells = 65536.0;

// What a straight line between two entries may miss. The aim's share is of its unit length, that of
// a beam turned by the chord above from 1 m off.
constexpr double position_miss_m = 1.2e-4;
constexpr double aim_miss = 1.2e-4;

// Even in sin(w / 2), where a cosine lobe is nearly a Gaussian, from the aim to where the lobe
// ends: interpolation errs by under 0.001 % of the peak for beams of any width.
constexpr std::size_t intensity_cells = 1024;
constexpr double end_of_lobe = 1e-8;  // of its peak

/// sin(w / 2) where the beam's lobe ends, at 90 degrees from the aim at the latest.
double sine_at_end(const Beam& beam) {
    if (beam.peak_cd() == 0.0) return std::sqrt(0.5);
    return std::sqrt(0.5 * (1.0 - std::pow(end_of_lobe, 1.0 / beam.exponent())));
}

/// Of one lumen.
Beam beam_of(Lamp lamp) {
    lamp.flux_lm = 1.0;
    lamp.gel.transmission = 1.0;
    return Beam(lamp);
}

std::vector<float> intensity_table(const Beam& beam) {
    std::vector<float> table(intensity_cells + 2);
    for (std::size_t i = 0; i < intensity_cells; ++i) {
        const double sin_half = sine_at_end(beam) * static_cast<double>(i) / intensity_cells;
        table[i] = static_cast<float>(beam.intensity_cd(1.0 - 2.0 * sin_half * sin_half));
    }
    table[intensity_cells] = table[intensity_cells + 1] =
        static_cast<float>(beam.even_cd());
    return table;
}

/// Place and aim at a time, in double precision.
struct Exact {
    Vec3 position_m;
    Vec3 aim;
};

/// Where course or aim jumps a window ends or begins, and a hair inside it is meant.
constexpr double inside_s = 1e-9;

}  // namespace

/// A lamp's way, or that of one part of a strip.
struct LampCourse {
    const LitLamp& lit;
    const AimTargets& targets;
    double hung_share = 0.5;

    Exact at(const TimeWindow& window, double time_s) const {
        const double hair_s = std::min(inside_s, 0.25 * (window.to_s - window.from_s));
        const double held_s = std::clamp(time_s, window.from_s + hair_s, window.to_s - hair_s);
        return {lit.position_m(held_s, hung_share), aim_direction(lit, targets, held_s)};
    }
};

namespace {

/// Lit windows, cut where course or aim may jump.
TimeWindows smooth_windows(const LitLamp& lit) {
    const std::vector<double> breaks_s = lit.breaks_s();
    TimeWindows smooth;
    for (const TimeWindow& window : lit.lit) {
        double from_s = window.from_s;
        auto next = std::ranges::upper_bound(breaks_s, from_s + shortest_window_s);
        for (; next != breaks_s.end() && *next < window.to_s - shortest_window_s; ++next) {
            if (*next < from_s + shortest_window_s) continue;
            smooth.push_back({from_s, *next});
            from_s = *next;
        }
        smooth.push_back({from_s, window.to_s});
    }
    return smooth;
}

/// By how many times the allowed miss some straight line between entries goes wrong in its middle.
double worst_miss(const LampCourse& course, const TimeWindow& window, int cells) {
    const double cell_s = (window.to_s - window.from_s) / cells;
    double worst = 0.0;
    Exact before = course.at(window, window.from_s);
    for (int i = 0; i < cells; ++i) {
        const Exact middle = course.at(window, window.from_s + cell_s * (i + 0.5));
        const Exact after = course.at(window, window.from_s + cell_s * (i + 1));
        worst = std::max(
            {worst,
             glm::distance(middle.position_m, 0.5 * (before.position_m + after.position_m)) /
                 position_miss_m,
             glm::distance(middle.aim, 0.5 * (before.aim + after.aim)) / aim_miss});
        before = after;
    }
    return worst;
}

/// Cells that follow the lamp through one lit stretch, out of the share it has of all of them. A
/// miss goes with the square of the cell.
int cells_needed(const LampCourse& course, const TimeWindow& window, double share_of_time) {
    const double flown_m = course.lit.flown_m(window.to_s) - course.lit.flown_m(window.from_s);
    const double most = std::max(1.0, std::floor(most_cells * share_of_time));
    const double fewest = std::ceil(fewest_cells * share_of_time);
    double cells = std::clamp(std::ceil(flown_m / longest_chord_m), std::min(fewest, most), most);
    for (int round = 0; round < 3 && cells < most; ++round) {
        const double miss = worst_miss(course, window, static_cast<int>(cells));
        if (miss <= 1.0) break;
        cells = std::min(most, std::ceil(cells * std::min(1.05 * std::sqrt(miss), 16.0)));
    }
    return static_cast<int>(cells);
}

/// Where in the tables a time lies: the entry before it and the share of the way to the next.
struct TablePlace {
    int entry;
    float share;
};

inline TablePlace place_in(float since_s, float cells_per_s, int first, int cells) {
    const float place = std::min(std::max(since_s * cells_per_s, 0.0f), static_cast<float>(cells));
    const int cell = std::min(static_cast<int>(place), cells - 1);
    return {first + cell, place - static_cast<float>(cell)};
}

inline float between(const float* table, const TablePlace& place) {
    return table[place.entry] + place.share * (table[place.entry + 1] - table[place.entry]);
}

inline float looked_up_cd(const float* table, float cells_per_sine, float haversine) {
    const float place =
        std::min(std::sqrt(haversine) * cells_per_sine, static_cast<float>(intensity_cells));
    const int cell = static_cast<int>(place);
    return between(table, {cell, place - static_cast<float>(cell)});
}

}  // namespace

LampTrack::LampTrack(const LitLamp& lit, const AimTargets& targets, int strip_parts)
    : edges_s_{0.0f},
      moves_(lit.flies() && !lit.lit.empty()),
      strip_parts_(strip_parts),
      face_radius_m_(static_cast<float>(lit.lamp->face_mm / 2000.0)),
      flux_lm_(lit.flux_scale / strip_parts * lit.lamp->flux_lm * lit.lamp->gel.transmission *
               lamp_colour(*lit.lamp)) {
    const Beam beam = beam_of(*lit.lamp);
    const double sine = sine_at_end(beam);
    intensity_cd_ = intensity_table(beam);
    cells_per_sine_ = static_cast<float>(intensity_cells / sine);
    lobe_rad_ = static_cast<float>(1.0 / std::sqrt(beam.exponent()));
    reach_rad_ = static_cast<float>(2.0 * std::asin(sine));
    const double lit_s = lit.lit_s();
    if (!moves_) {
        add_entry(lit.position_m(0.0), aim_direction(lit, targets, 0.0));
        edges_s_.push_back(static_cast<float>(lit_s));
        return;
    }
    const TimeWindows windows = smooth_windows(lit);
    double lit_until_s = 0.0;
    for (int part = 0; part < strip_parts; ++part) {
        const LampCourse course{lit, targets, (part + 0.5) / strip_parts};
        for (const TimeWindow& window : windows) {
            const double lasts_s = window.to_s - window.from_s;
            add_run(course, window, cells_needed(course, window, lasts_s / (strip_parts * lit_s)));
            lit_until_s += lasts_s;
            edges_s_.push_back(static_cast<float>(lit_until_s));
        }
    }
    index_runs();
}

void LampTrack::add_entry(const Vec3& position_m, const Vec3& aim) {
    for (int axis = 0; axis < 3; ++axis) {
        position_m_[static_cast<std::size_t>(axis)].push_back(static_cast<float>(position_m[axis]));
        aim_[static_cast<std::size_t>(axis)].push_back(static_cast<float>(aim[axis]));
    }
}

void LampTrack::add_run(const LampCourse& course, const TimeWindow& window, int cells) {
    const double cell_s = (window.to_s - window.from_s) / cells;
    const auto first = static_cast<int>(position_m_[0].size());
    runs_.push_back({edges_s_.back(), static_cast<float>(1.0 / cell_s), first, cells});
    Vec3 before_m(0.0);
    for (int i = 0; i <= cells; ++i) {
        const Exact here = course.at(window, window.from_s + cell_s * i);
        add_entry(here.position_m, here.aim);
        if (i > 0) path_length_m_ += static_cast<float>(glm::distance(before_m, here.position_m));
        before_m = here.position_m;
    }
}

void LampTrack::index_runs() {
    const std::size_t parts = 2 * runs_.size();
    parts_per_s_ = static_cast<float>(parts) / lit_s();
    std::size_t run = 0;
    for (std::size_t part = 0; part < parts; ++part) {
        const float starts_s = static_cast<float>(part) / parts_per_s_;
        while (run + 1 < runs_.size() && edges_s_[run + 1] <= starts_s) ++run;
        run_of_part_.push_back(static_cast<int>(run));
    }
}

const LampTrack::Run& LampTrack::run_at(float time_s) const {
    const auto last = static_cast<int>(run_of_part_.size()) - 1;
    const int part = std::clamp(static_cast<int>(time_s * parts_per_s_), 0, last);
    auto run = static_cast<std::size_t>(run_of_part_[static_cast<std::size_t>(part)]);
    // Rounding may have put the part's start a hair too late.
    while (run > 0 && time_s < edges_s_[run]) --run;
    while (run + 1 < runs_.size() && time_s >= edges_s_[run + 1]) ++run;
    return runs_[run];
}

LampInstant LampTrack::at(float time_s) const {
    if (!moves())
        return {{position_m_[0][0], position_m_[1][0], position_m_[2][0]},
                {aim_[0][0], aim_[1][0], aim_[2][0]}};
    const Run& run = run_at(time_s);
    const TablePlace place = place_in(time_s - run.from_s, run.cells_per_s, run.first, run.cells);
    const auto entry = [&](const std::array<std::vector<float>, 3>& table) {
        return glm::vec3(between(table[0].data(), place), between(table[1].data(), place),
                         between(table[2].data(), place));
    };
    return {entry(position_m_), entry(aim_)};
}

void LampTrack::at(const Lanes& time_s, LampInstants& instants) const {
    if (!moves()) {
        const auto everywhere = [](const std::array<std::vector<float>, 3>& table,
                                   LaneVectors& to) {
            to.x.lane.fill(table[0][0]);
            to.y.lane.fill(table[1][0]);
            to.z.lane.fill(table[2][0]);
        };
        everywhere(position_m_, instants.position_m);
        everywhere(aim_, instants.aim);
        return;
    }
    std::array<int, packet_size> entry;
    Lanes share;
    const auto find = [&](int i, const Run& run) {
        const TablePlace place =
            place_in(time_s[i] - run.from_s, run.cells_per_s, run.first, run.cells);
        entry[static_cast<std::size_t>(i)] = place.entry;
        share[i] = place.share;
    };
    if (runs_.size() == 1) {
        const Run run = runs_.front();
        for (int i = 0; i < packet_size; ++i) find(i, run);
    } else {
        for (int i = 0; i < packet_size; ++i) find(i, run_at(time_s[i]));
    }
    const auto fill = [&](const std::vector<float>& table, Lanes& to) {
        const float* values = table.data();
        for (int i = 0; i < packet_size; ++i)
            to[i] = between(values, {entry[static_cast<std::size_t>(i)], share[i]});
    };
    fill(position_m_[0], instants.position_m.x);
    fill(position_m_[1], instants.position_m.y);
    fill(position_m_[2], instants.position_m.z);
    fill(aim_[0], instants.aim.x);
    fill(aim_[1], instants.aim.y);
    fill(aim_[2], instants.aim.z);
}

float LampTrack::intensity_cd(float haversine) const {
    return looked_up_cd(intensity_cd_.data(), cells_per_sine_, haversine);
}

void LampTrack::intensity_cd(const Lanes& haversine, Lanes& intensity) const {
    const float* table = intensity_cd_.data();
    const float cells_per_sine = cells_per_sine_;
    for (int i = 0; i < packet_size; ++i)
        intensity[i] = looked_up_cd(table, cells_per_sine, haversine[i]);
}

}  // namespace lampflight
