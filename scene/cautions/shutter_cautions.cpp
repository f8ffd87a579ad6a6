#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace lampflight {
namespace {

// A loaded drone flies for about a quarter of an hour, out and home included. Common practice, no
// source.
constexpr double loaded_flight_s = 900.0;
constexpr double long_shutter_s = 300.0;
constexpr double minute_s = 60.0;

/// "20 minutes", "1 minute", "12.5 minutes".
std::string minutes_text(double time_s) {
    const double minutes = std::round(10.0 * time_s / minute_s) / 10.0;
    return fmt::format("{:g} minute{}", minutes, minutes == 1.0 ? "" : "s");
}

/// Whole minutes look like seconds that were multiplied by 60 once too often.
std::string were_seconds_meant(double shutter_s) {
    const double minutes = shutter_s / minute_s;
    if (minutes != std::round(minutes)) return "shutter_s counts seconds: were fewer meant?";
    return fmt::format("shutter_s counts seconds: were {:g} s meant?", minutes);
}

}  // namespace

Findings shutter_cautions(const FlownTake& seen) {
    const double shutter_s = seen.settings.shutter_s;
    if (seen.flights.empty() || shutter_s < long_shutter_s) return {};
    double flown_s = 0.0;
    for (const FlownFlight& flown : seen.flights) flown_s = std::max(flown_s, flown.until_s());
    const std::string open = fmt::format("The shutter of take \"{}\" stays open for {}",
                                         seen.take.name, minutes_text(shutter_s));
    const Alike alike{"long", "take", seen.take.name, seen.take.name, shutter_s};
    if (flown_s >= loaded_flight_s)
        return {{"time", CautionLevel::care,
                 open + ", longer than a loaded drone flies (about a quarter of an hour). " +
                     were_seconds_meant(shutter_s),
                 alike}};
    if (flown_s >= long_shutter_s)
        return {{"time", CautionLevel::care,
                 fmt::format("{}, and a flight lasts {} of it, a good part of what a battery "
                             "holds. {}",
                             open, minutes_text(flown_s), were_seconds_meant(shutter_s)),
                 alike}};
    return {{"time", CautionLevel::note,
             fmt::format("{}, its flights {:.0f} s or less. {}", open, std::ceil(flown_s),
                         were_seconds_meant(shutter_s)),
             alike}};
}

}  // namespace lampflight
