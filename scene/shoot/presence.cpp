#include "scene/shoot/presence.h"

#include <algorithm>

#include "scene/basics/names.h"
#include "scene/basics/shortest_time.h"

namespace lampflight {
namespace {

bool is_there(const Subject& subject, double time_s) {
    return !subject.present_s || covers(*subject.present_s, time_s);
}

/// Every time in a take at which somebody comes or goes, the shutter's opening and end among them.
std::vector<double> turning_times_s(const Shoot& shoot, const std::vector<std::size_t>& subjects,
                                    double shutter_s) {
    std::vector<double> times_s{0.0, shutter_s};
    for (const std::size_t subject : subjects)
        for (const TimeWindow& window : shoot.subjects[subject].present_s.value_or(TimeWindows{}))
            for (const double time_s : {window.from_s, window.to_s})
                if (time_s > rounding_s && time_s < shutter_s - rounding_s)
                    times_s.push_back(time_s);
    std::sort(times_s.begin(), times_s.end());
    const auto is_one = [](double one, double next) { return next - one <= rounding_s; };
    times_s.erase(std::unique(times_s.begin(), times_s.end(), is_one), times_s.end());
    return times_s;
}

}  // namespace

std::vector<std::size_t> present_subjects(const Shoot& shoot, const Take& take) {
    std::vector<std::size_t> present;
    for (std::size_t i = 0; i < shoot.subjects.size(); ++i)
        if (!take.subjects || contains(*take.subjects, shoot.subjects[i].name))
            present.push_back(i);
    return present;
}

std::vector<Presence> presences(const Shoot& shoot, const Take& take) {
    const std::vector<std::size_t> called = present_subjects(shoot, take);
    const std::vector<double> times_s =
        turning_times_s(shoot, called, settings_of(shoot, take).shutter_s);
    std::vector<Presence> all;
    for (std::size_t i = 0; i + 1 < times_s.size(); ++i) {
        const TimeWindow window{times_s[i], times_s[i + 1]};
        std::vector<std::size_t> there = called;
        std::erase_if(there, [&](std::size_t subject) {
            return !is_there(shoot.subjects[subject], 0.5 * (window.from_s + window.to_s));
        });
        auto same = std::find_if(all.begin(), all.end(), [&](const Presence& presence) {
            return presence.subjects == there;
        });
        if (same == all.end())
            all.push_back({there, {window}});
        else if (same->times.back().to_s == window.from_s)
            same->times.back().to_s = window.to_s;
        else
            same->times.push_back(window);
    }
    return all;
}

}  // namespace lampflight
