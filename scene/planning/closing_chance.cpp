#include "scene/planning/closing_chance.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "scene/planning/closure.h"
#include "scene/shoot/path_times.h"
#include "scene/shoot/straying_of.h"

namespace lampflight {
namespace {

constexpr int goes = 200;
constexpr double end_share = 0.25;

/// Even times, so close that neither a turn nor what strays is cut short.
struct Samples {
    double from_s, step_s;
    std::size_t count;
    std::vector<Vec3> planned_m;
};

Samples samples_of(const FlownFlight& flown, double from_s, double to_s, double wander_s) {
    constexpr double per_turn = 128.0, per_wander = 8.0, fewest = 64.0, most = 4096.0;
    const FlightPath& path = flown.path;
    const double turns = std::abs(path.flown_turns(to_s) - path.flown_turns(from_s));
    const double pieces = std::ceil(std::clamp(
        std::max(per_turn * turns, per_wander * (to_s - from_s) / wander_s), fewest, most));
    Samples samples{from_s, (to_s - from_s) / pieces, static_cast<std::size_t>(pieces) + 1, {}};
    for (std::size_t i = 0; i < samples.count; ++i)
        samples.planned_m.push_back(
            path.position_m(from_s + samples.step_s * static_cast<double>(i)));
    return samples;
}

double distance_to_piece_m(const Vec3& point_m, const Vec3& from_m, const Vec3& to_m) {
    const Vec3 along = to_m - from_m;
    const double square = glm::dot(along, along);
    if (square <= 0.0) return glm::distance(point_m, from_m);
    const double share = std::clamp(glm::dot(point_m - from_m, along) / square, 0.0, 1.0);
    return glm::distance(point_m, from_m + share * along);
}

double nearest_m(const Vec3& point_m, const Samples& samples, const Straying& strays) {
    const std::vector<Vec3> off_m = strays.offsets_m(samples.from_s, samples.step_s, samples.count);
    double nearest = glm::distance(point_m, samples.planned_m.front() + off_m.front());
    for (std::size_t i = 1; i < samples.count; ++i)
        nearest =
            std::min(nearest, distance_to_piece_m(point_m, samples.planned_m[i - 1] + off_m[i - 1],
                                                  samples.planned_m[i] + off_m[i]));
    return nearest;
}

double median_of(std::vector<double> values) {
    std::ranges::sort(values);
    const std::size_t middle = values.size() / 2;
    return values.size() % 2 ? values[middle] : 0.5 * (values[middle - 1] + values[middle]);
}

}  // namespace

ShareRange wilson_95(int count, int of) {
    constexpr double z = 1.959963985;  // two-sided 95 % of the normal distribution
    const double n = of, share = count / n;
    const double middle = (share + z * z / (2.0 * n)) / (1.0 + z * z / n);
    const double reach =
        z / (1.0 + z * z / n) * std::sqrt(share * (1.0 - share) / n + z * z / (4.0 * n * n));
    return {std::max(0.0, middle - reach), std::min(1.0, middle + reach)};
}

std::optional<ClosingChance> closing_chance(const Shoot& shoot, const Take& take,
                                            const FlownFlight& flown) {
    const double shutter_s = settings_of(shoot, take).shutter_s;
    if (!closure_of(*flown.flight, flown.path, shutter_s)) return std::nullopt;
    const PathTimes times = path_times(flown.path, shutter_s);
    const double from_s = std::max(times.from_s, flown.path.time_at_s(flown.path.shape_from_m()));
    const double to_s = std::min(times.to_s, flown.path.time_at_s(flown.path.shape_to_m()));
    if (!(from_s < to_s)) return std::nullopt;
    StrayingKeys keys = straying_keys(shoot, take, *flown.flight, 1);
    if (!keys.states_wander) keys.size.wander_m = common_wander_m;
    if (!(keys.size.wander_m > 0.0)) return std::nullopt;
    const Samples end =
        samples_of(flown, to_s - end_share * (to_s - from_s), to_s, keys.size.wander_s);
    const Vec3 first_m = flown.path.position_m(from_s);
    std::vector<double> apart_m;
    for (int go = 1; go <= goes; ++go) {
        const Straying strays(keys.size, straying_keys(shoot, take, *flown.flight, go).seed);
        apart_m.push_back(nearest_m(first_m + strays.offset_m(from_s), end, strays));
    }
    const double gap_m = flown.flight->gap_m;
    const auto closed = static_cast<int>(
        std::ranges::count_if(apart_m, [&](double apart) { return apart <= gap_m; }));
    return ClosingChance{keys.size.wander_m, gap_m, goes, closed, wilson_95(closed, goes),
                         median_of(apart_m)};
}

}  // namespace lampflight
