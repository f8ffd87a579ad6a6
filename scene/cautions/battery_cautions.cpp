#include "scene/cautions/caution_kinds.h"

#include <algorithm>

#include <fmt/format.h>

#include "scene/basics/wording.h"
#include "scene/shoot/battery.h"
#include "scene/shoot/flown_flight.h"

namespace lampflight {
namespace {

// Common practice, no source: a battery falls fast at its end, and wind or a second approach need
// some of it.
constexpr double least_reserve = 0.2;

/// "45 s", "14.2 min".
std::string lasting_text(double time_s) {
    return time_s < 100.0 ? fmt::format("{:.0f} s", time_s)
                          : fmt::format("{:.1f} min", time_s / 60);
}

/// `drone "first"`; "the drone" for one without a name.
std::string drone_words(const DroneBattery& battery) {
    return battery.drone.empty() ? "the drone" : "drone " + in_quotes(battery.drone);
}

Alike by_drone(const char* kind, const DroneBattery& battery, double worse = 0.0) {
    return {kind, "drone", battery.drone, "", worse};
}

constexpr const char* how_to_state =
    "endurance_min, how long it hovers without lamps, or better loaded_endurance_min, timed with "
    "them.";

/// Flights that no [[drone]] of the scene flies.
void add_unknown_drones(Findings& list, const Shoot& shoot) {
    for (const Take& take : shoot.takes)
        for (const std::string& name : take.flights) {
            const Flight* flight = find_named(shoot.flights, name);
            if (!flight || drone_of(shoot, *flight)) continue;
            if (shoot.drones.empty()) {
                list.push_back({"battery", CautionLevel::care,
                                fmt::format("What the battery gives is unknown: add a [[drone]] "
                                            "with {}",
                                            how_to_state)});
                return;
            }
            list.push_back({"battery",
                            CautionLevel::care,
                            fmt::format("What the battery gives for flight {} is unknown: it names "
                                        "none of the drones.",
                                        in_quotes(name)),
                            {"battery of no drone", "flight", name, take.name}});
        }
}

void add_reserve(Findings& list, const DroneBattery& battery) {
    if (battery.reserve >= least_reserve) return;
    list.push_back(
        {"battery", CautionLevel::care,
         fmt::format("The reserve of {} is {:.0f} % of its battery. Plan with {:.0f} % or "
                     "more: the last of a battery goes fast, the faster in the cold.",
                     drone_words(battery), 100.0 * battery.reserve, 100.0 * least_reserve),
         by_drone("small reserve", battery, -battery.reserve)});
}

/// Takes that are too long for any battery of that drone, each flown on a full one.
void add_overlong_takes(Findings& list, const DroneBattery& battery) {
    for (const BatteryTake& take : battery.takes) {
        if (battery.keeps_reserve(take).value_or(true)) continue;
        const double lasts_s = take.out_s + take.flown_s + take.back_s;
        const bool empty = *battery.landed_s(take) < 0.0;
        list.push_back(
            {"battery",
             CautionLevel::danger,
             fmt::format(
                 "{} take {} on a full battery: the way out ({}), the take ({}) and the way "
                 "home ({}) last {}; the battery gives {} down to its reserve, {} in all.",
                 empty ? fmt::format("The battery of {} is empty before it is home from",
                                     drone_words(battery))
                       : fmt::format("On its way home {} runs into its reserve after",
                                     drone_words(battery)),
                 in_quotes(take.take), lasting_text(take.out_s), lasting_text(take.flown_s),
                 lasting_text(take.back_s), lasting_text(lasts_s), lasting_text(*battery.usable_s),
                 lasting_text(*battery.endurance_s)),
             {empty ? "battery empty" : "into the reserve", "take", take.take, take.take,
              -*battery.landed_s(take)}});
    }
}

void add_more_batteries(Findings& list, const DroneBattery& battery) {
    constexpr std::size_t most_named = 6;
    std::vector<std::string> fresh;
    for (std::size_t i = 1; i < battery.takes.size(); ++i)
        if (battery.takes[i].battery != battery.takes[i - 1].battery)
            fresh.push_back(battery.takes[i].take);
    if (fresh.empty()) return;
    const std::size_t count = fresh.size() + 1;
    std::string before = fresh.size() > 1 ? "takes " : "take ";
    if (fresh.size() > most_named) {
        for (std::size_t i = 0; i < most_named; ++i) before += in_quotes(fresh[i]) + ", ";
        before += fmt::format("and {} more", fresh.size() - most_named);
    } else {
        before += alternatives(fresh, "and");
    }
    list.push_back({"battery", CautionLevel::care,
                    fmt::format("The takes of {}, flown once each, need {} batteries: land for a "
                                "fresh one before {}. A take flown again needs more.",
                                drone_words(battery), count, before),
                    by_drone("more batteries", battery, static_cast<double>(count))});
}

/// How well what the scene states of the endurance is known.
void add_endurance(Findings& list, const DroneBattery& battery) {
    if (!battery.endurance_s) {
        list.push_back({"battery", CautionLevel::care,
                        fmt::format("What the battery of {} gives is unknown. In its "
                                    "[[drone]], state {}",
                                    drone_words(battery), how_to_state),
                        by_drone("unknown endurance", battery)});
    } else if (!battery.timed) {
        list.push_back({"battery", CautionLevel::note,
                        fmt::format("How long {} hovers with its lamps ({}) is worked out from its "
                                    "masses and endurance_min. Time a hover with the lamps on and "
                                    "state it as loaded_endurance_min.",
                                    drone_words(battery), lasting_text(*battery.endurance_s)),
                        by_drone("worked out", battery)});
    }
}

}  // namespace

Findings battery_cautions(const Shoot& shoot) {
    Findings list;
    add_unknown_drones(list, shoot);
    for (const DroneBattery& battery : batteries(shoot)) {
        add_overlong_takes(list, battery);
        add_more_batteries(list, battery);
        add_reserve(list, battery);
        add_endurance(list, battery);
    }
    return list;
}

}  // namespace lampflight
