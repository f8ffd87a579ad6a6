// Time intervals within an exposure: when a lamp burns, when somebody stands there.
#pragma once

#include <vector>

namespace lampflight {

/// Seconds from the shutter's opening; `to_s` lies after `from_s`.
struct TimeWindow {
    double from_s;
    double to_s;

    bool operator==(const TimeWindow&) const = default;
};

/// Rising, disjoint, none empty. Two may touch.
using TimeWindows = std::vector<TimeWindow>;

/// Their length together, in seconds.
double total_s(const TimeWindows& windows);

/// The times that both cover. Windows of the result that touch are joined.
TimeWindows common(const TimeWindows& one, const TimeWindows& other);

/// Whether a time lies in one of the windows; the start of a window does, its end does not.
bool covers(const TimeWindows& windows, double time_s);

}  // namespace lampflight
