#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <string>
#include <string_view>

#include <fmt/format.h>

#include "scene/basics/names.h"

namespace lampflight {
namespace {

// Flashes a second that may set off a seizure. More than three are what WCAG 2.1 (success criterion
// 2.3.1) warns of, from memory; for the upper bound common practice, no source.
constexpr double fewest_harmful_hz = 3.0;
constexpr double most_harmful_hz = 30.0;

double longest_shutter_s(const Shoot& shoot) {
    double longest_s = 0.0;
    for (const Take& take : shoot.takes)
        longest_s = std::max(longest_s, settings_of(shoot, take).shutter_s);
    return longest_s;
}

/// What misses the shutter, and what it would do.
struct Missing {
    std::string noun;
    std::string_view does;
};

/// Windows that begin when every shutter has closed.
void add_missed(Findings& list, const Shoot& shoot, const std::string& name, const Missing& missing,
                const std::optional<TimeWindows>& windows) {
    const double longest_s = longest_shutter_s(shoot);
    for (const TimeWindow& window : windows.value_or(TimeWindows{}))
        if (window.from_s >= longest_s)
            list.push_back({"time",
                            CautionLevel::care,
                            fmt::format("\"{}\" {} from {} to {} s, but no shutter is open longer "
                                        "than {} s.",
                                        name, missing.does, window.from_s, window.to_s, longest_s),
                            {"missed " + missing.noun, missing.noun, name}});
}

/// Whether a take calls for a lamp, burning or not.
bool calls(const Shoot& shoot, const Take& take, const Lamp& lamp) {
    if (lamp.position_m) return !take.lamps || contains(*take.lamps, lamp.name);
    return std::any_of(take.flights.begin(), take.flights.end(), [&](const std::string& name) {
        const Flight* flight = find_named(shoot.flights, name);
        return flight && contains(flight->carries, lamp.name);
    });
}

void add_dark(Findings& list, const FlownTake& seen) {
    for (const Lamp& lamp : seen.shoot.lamps) {
        if (!calls(seen.shoot, seen.take, lamp)) continue;
        if (std::ranges::find(seen.lit, &lamp, &LitLamp::lamp) != seen.lit.end()) continue;
        list.push_back({"time",
                        CautionLevel::care,
                        fmt::format("Lamp \"{}\" stays dark in take \"{}\": its times fall outside "
                                    "the shutter or its flight.",
                                    lamp.name, seen.take.name),
                        {"dark", "lamp", lamp.name, seen.take.name}});
    }
}

void add_flashing(Findings& list, const Lamp& lamp) {
    if (!lamp.pulse.per_minute) return;
    const double flashes_hz = *lamp.pulse.per_minute / 60.0;
    if (flashes_hz < fewest_harmful_hz || flashes_hz > most_harmful_hz) return;
    list.push_back({"flashes",
                    CautionLevel::care,
                    fmt::format("Lamp \"{}\" flashes {:.3g} times a second. Between {:.0f} and "
                                "{:.0f} flashes a second can harm people with photosensitive "
                                "epilepsy: choose another rate, or tell everyone who may see it "
                                "beforehand, and check the rules where you are.",
                                lamp.name, flashes_hz, fewest_harmful_hz, most_harmful_hz),
                    {"flashing", "lamp", lamp.name}});
}

}  // namespace

Findings time_cautions(const Shoot& shoot, const std::vector<FlownTake>& takes) {
    Findings list;
    for (const Lamp& lamp : shoot.lamps) {
        add_missed(list, shoot, lamp.name, {"lamp", "is lit"}, lamp.lit_s);
        add_flashing(list, lamp);
    }
    for (const Subject& subject : shoot.subjects)
        add_missed(list, shoot, subject.name, {"subject", "stands there"}, subject.present_s);
    for (const FlownTake& take : takes) add_dark(list, take);
    return list;
}

}  // namespace lampflight
