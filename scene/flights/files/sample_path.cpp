#include "scene/flights/files/sample_path.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <utility>

#include "scene/flights/files/path_file.h"

namespace lampflight {
namespace {

/// Shares of the allowed error: of the fine points that stand for the path, and of the chords that
/// leave most of them out. The rest is for what lies between the points that are looked at.
constexpr double fine_error_m = 0.1 * chord_error_m;
constexpr double left_out_error_m = 0.75 * chord_error_m;
constexpr double at_once_m = 1e-6;  ///< ways that are one
constexpr double at_rest_m = 1e-9;
constexpr double longest_step_m = 0.5;  ///< a bend within a step is found by its quarters
constexpr double most_steps = 100'000.0;
constexpr double steps_a_turn = 64.0;
constexpr std::size_t most_halvings = 20;
constexpr std::size_t fine_at_once = 4096;

double off_chord_m(const Vec3& at_m, const Vec3& from_m, const Vec3& to_m) {
    const Vec3 chord = to_m - from_m;
    const double square = glm::dot(chord, chord);
    const double share =
        square > 0.0 ? std::clamp(glm::dot(at_m - from_m, chord) / square, 0.0, 1.0) : 0.0;
    return glm::distance(at_m, from_m + share * chord);
}

struct PathPoint {
    double arc_m;
    Vec3 at_m;
};

class PathSampling {
public:
    explicit PathSampling(const FlightPath& path) : path_(path) {
        length_m_ = path.flown_m(path.ends_s());
        const double turns = path.flown_turns(path.ends_s());
        step_m_ = std::max(longest_step_m, length_m_ / most_steps);
        if (turns > 0.0) step_m_ = std::min(step_m_, path.length_m() / turns / steps_a_turn);
    }

    std::optional<std::vector<PathSample>> samples() {
        const std::vector<double> forced_m = forced_ways_m();
        kept_.push_back(point_at(forced_m.front()));
        for (std::size_t i = 1; i < forced_m.size(); ++i) {
            add_smooth(forced_m[i - 1], forced_m[i]);
            if (kept_.size() > most_path_points) return std::nullopt;
        }
        return told();
    }

private:
    PathPoint point_at(double arc_m) const {
        return {arc_m, path_.position_m(path_.time_at_s(arc_m))};
    }

    /// Ways at which a sample has to stand.
    std::vector<double> forced_ways_m() const {
        std::vector<double> ways_m{0.0, length_m_};
        for (const double time_s : path_.breaks_s()) ways_m.push_back(path_.flown_m(time_s));
        for (const PathStretch& stretch : path_.stretches())
            ways_m.push_back(std::clamp(stretch.from_m, 0.0, length_m_));
        std::ranges::sort(ways_m);
        const auto same = [](double one, double next) { return next - one <= at_once_m; };
        ways_m.erase(std::unique(ways_m.begin(), ways_m.end(), same), ways_m.end());
        if (ways_m.size() > 1) ways_m.back() = length_m_;
        return ways_m;
    }

    /// Adds what a smooth part of the way needs; ends early where that is too much.
    void add_smooth(double from_m, double to_m) {
        fine_.assign(1, point_at(from_m));
        const double steps = std::max(1.0, std::ceil((to_m - from_m) / step_m_));
        for (double step = 1.0; step <= steps; ++step) {
            halve(point_at(from_m + (to_m - from_m) * (step / steps)));
            if (fine_.size() < fine_at_once && step < steps) continue;
            keep_needed();
            if (kept_.size() > most_path_points) return;
            fine_.assign(1, kept_.back());
        }
    }

    /// Goes on from the last fine point to another, by halves where the way bends.
    void halve(const PathPoint& end) {
        std::vector<PathPoint> ahead{end};
        while (!ahead.empty()) {
            const PathPoint from = fine_.back(), to = ahead.back();
            const double way_m = to.arc_m - from.arc_m;
            std::array<PathPoint, 3> quarters;
            double off_m = 0.0;
            for (std::size_t i = 0; i < quarters.size(); ++i) {
                quarters[i] = point_at(from.arc_m + way_m * 0.25 * static_cast<double>(i + 1));
                off_m = std::max(off_m, off_chord_m(quarters[i].at_m, from.at_m, to.at_m));
            }
            if (off_m > fine_error_m && ahead.size() < most_halvings) {
                ahead.push_back(quarters[1]);
                continue;
            }
            fine_.push_back(to);
            ahead.pop_back();
        }
    }

    /// Keeps the fine points that the chords can't do without (Ramer 1972, Douglas & Peucker 1973).
    void keep_needed() {
        std::vector<std::size_t> ends{fine_.size() - 1};
        std::size_t from = 0;
        while (!ends.empty()) {
            const std::size_t to = ends.back();
            std::size_t farthest = from;
            double most_m = left_out_error_m;
            for (std::size_t i = from + 1; i < to; ++i) {
                const double off_m = off_chord_m(fine_[i].at_m, fine_[from].at_m, fine_[to].at_m);
                if (off_m <= most_m) continue;
                most_m = off_m;
                farthest = i;
            }
            if (farthest != from) {
                ends.push_back(farthest);
                continue;
            }
            kept_.push_back(fine_[to]);
            from = to;
            ends.pop_back();
        }
    }

    std::vector<PathSample> told() const {
        std::vector<PathSample> samples;
        for (const PathPoint& point : kept_) {
            PathSample sample{path_.time_at_s(point.arc_m), point.at_m, 0.0, 0.0, true, {}};
            take_stretch(sample, point.arc_m);
            samples.push_back(std::move(sample));
        }
        samples.front().time_s = path_.begins_s();
        if (samples.size() == 1) {  // a flight that hovers
            samples.push_back(samples.front());
            samples.front().hold_s = path_.duration_s();
            samples.back().time_s = path_.ends_s();
            return samples;
        }
        take_holds(samples);
        for (std::size_t i = 1; i < samples.size(); ++i)
            samples[i - 1].speed_m_s = top_speed_m_s(samples[i - 1], samples[i]);
        return samples;
    }

    void take_stretch(PathSample& sample, double arc_m) const {
        for (const PathStretch& stretch : path_.stretches()) {
            if (stretch.from_m > arc_m + at_once_m) break;
            sample.lit = stretch.lit;
            sample.aim = stretch.aim;
        }
    }

    void take_holds(std::vector<PathSample>& samples) const {
        const std::vector<double>& breaks_s = path_.breaks_s();
        for (std::size_t i = 1; i < breaks_s.size(); ++i) {
            const double way_m = path_.flown_m(breaks_s[i]);
            if (way_m - path_.flown_m(breaks_s[i - 1]) > at_rest_m) continue;
            const auto point =
                std::ranges::lower_bound(kept_, way_m - at_once_m, {}, &PathPoint::arc_m);
            if (point == kept_.end()) continue;
            PathSample& sample = samples[static_cast<std::size_t>(point - kept_.begin())];
            sample.hold_s += breaks_s[i] - breaks_s[i - 1];
        }
    }

    double top_speed_m_s(const PathSample& from, const PathSample& to) const {
        constexpr int looks = 8;
        const double leaves_s = from.time_s + from.hold_s;
        double top_m_s = 0.0;
        for (int i = 0; i <= looks; ++i) {
            const double time_s = leaves_s + (to.time_s - leaves_s) * i / looks;
            top_m_s = std::max(top_m_s, glm::length(path_.velocity_m_s(time_s)));
        }
        return top_m_s;
    }

    const FlightPath& path_;
    double length_m_ = 0.0;
    double step_m_ = longest_step_m;
    std::vector<PathPoint> fine_;  ///< of the part in hand
    std::vector<PathPoint> kept_;
};

}  // namespace

std::optional<std::vector<PathSample>> sample_path(const FlightPath& path) {
    return PathSampling(path).samples();
}

}  // namespace lampflight
