#include "scene/basics/time_windows.h"

#include <algorithm>

#include "scene/basics/shortest_time.h"

namespace lampflight {

double total_s(const TimeWindows& windows) {
    double total = 0.0;
    for (const TimeWindow& window : windows) total += window.to_s - window.from_s;
    return total;
}

TimeWindows common(const TimeWindows& one, const TimeWindows& other) {
    TimeWindows both;
    for (auto a = one.begin(), b = other.begin(); a != one.end() && b != other.end();) {
        const TimeWindow shared{std::max(a->from_s, b->from_s), std::min(a->to_s, b->to_s)};
        if (shared.to_s - shared.from_s > rounding_s) {
            if (!both.empty() && both.back().to_s == shared.from_s)
                both.back().to_s = shared.to_s;
            else
                both.push_back(shared);
        }
        a->to_s < b->to_s ? ++a : ++b;
    }
    return both;
}

bool covers(const TimeWindows& windows, double time_s) {
    const auto after = std::upper_bound(
        windows.begin(), windows.end(), time_s,
        [](double time, const TimeWindow& window) { return time < window.from_s; });
    return after != windows.begin() && time_s < std::prev(after)->to_s;
}

}  // namespace lampflight
