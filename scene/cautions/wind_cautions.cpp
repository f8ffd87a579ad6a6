#include "scene/cautions/caution_kinds.h"

#include <algorithm>

#include <fmt/format.h>

#include "scene/shoot/in_wind.h"

namespace lampflight {
namespace {

/// Gusts that take more of a drone's speed through the air leave too little to come back with.
/// Common practice, no source.
constexpr double gust_share = 0.5;

std::string drone_words(const Drone& drone) {
    return drone.name.empty() ? "the drone" : fmt::format("drone \"{}\"", drone.name);
}

/// Steady or in gusts, whichever is worse.
double strongest_m_s(const Air& air) {
    return std::max(air.wind_m_s, air.gust_m_s.value_or(0.0));
}

void add_rated(Findings& list, const FlownTake& seen, const FlownFlight& flown) {
    const Air& air = seen.shoot.air;
    const Drone* drone = drone_of(seen.shoot, *flown.flight);
    if (!drone || !drone->top_wind_m_s) {
        list.push_back({"wind", CautionLevel::note,
                        fmt::format("The {} meets a wind of {:.1f} m/s, and nothing says what wind "
                                    "its drone is made for: look it up and state top_wind_m_s in "
                                    "[[drone]].",
                                    seen.name_of(flown), strongest_m_s(air)),
                        seen.alike(flown, "unrated wind", strongest_m_s(air))});
        return;
    }
    if (strongest_m_s(air) <= *drone->top_wind_m_s) return;
    const bool steady = air.wind_m_s > *drone->top_wind_m_s;
    list.push_back({"wind", CautionLevel::danger,
                    fmt::format("The {} meets {} of {:.1f} m/s, and {} is rated for {:.1f} m/s: "
                                "wait for less.",
                                seen.name_of(flown), steady ? "a wind" : "gusts",
                                steady ? air.wind_m_s : *air.gust_m_s, drone_words(*drone),
                                *drone->top_wind_m_s),
                    seen.alike(flown, "over the rated wind", strongest_m_s(air))});
}

/// What its speed through the air has to spare.
void add_air_speed(Findings& list, const FlownTake& seen, const FlownFlight& flown,
                   const InWind& wind) {
    if (!flown.flight->limits.air_m_s) return;
    const double most_m_s = *flown.flight->limits.air_m_s;
    const double over = 1.0 + 1e-3;  // nobody measures less
    const double gust_m_s = strongest_m_s(seen.shoot.air) - seen.shoot.air.wind_m_s;
    if (wind.gust_air_m_s > most_m_s * over)
        list.push_back({"wind", CautionLevel::care,
                        fmt::format("The {} needs {:.1f} m/s through the air in gusts, and {:.1f} "
                                    "m/s is the most: gusts carry it off its line. Fly slower.",
                                    seen.name_of(flown), wind.gust_air_m_s, most_m_s),
                        seen.alike(flown, "too fast in gusts", wind.gust_air_m_s)});
    else if (gust_m_s > gust_share * most_m_s)
        list.push_back({"wind", CautionLevel::care,
                        fmt::format("Gusts {:.1f} m/s over the steady wind are more than half of "
                                    "the {:.1f} m/s that the {} goes through the air at the most.",
                                    gust_m_s, most_m_s, seen.name_of(flown)),
                        seen.alike(flown, "strong gusts", gust_m_s)});
}

}  // namespace

Findings wind_cautions(const FlownTake& seen) {
    Findings list;
    for (const FlownFlight& flown : seen.flights) {
        const std::optional<InWind> wind = in_wind(seen.shoot, flown);
        if (!wind) continue;
        add_rated(list, seen, flown);
        add_air_speed(list, seen, flown, *wind);
    }
    return list;
}

}  // namespace lampflight
