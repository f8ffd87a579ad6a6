#include "scene/cautions/caution_kinds.h"

#include <fmt/format.h>

namespace lampflight {
namespace {

// What drones with lamps tied on fly. Common practice, no source.
constexpr double fast_m_s = 15.0;
constexpr double absurd_m_s = 25.0;
constexpr double brisk_acceleration_m_s2 = 3.0;
constexpr double absurd_acceleration_m_s2 = 2.0 * 9.80665;  ///< twice standard gravity, ISO 80000-3

/// Faster than a drone with lamps goes, or turning harder.
void add_haste(Findings& list, const FlownTake& seen, const FlownFlight& flown) {
    const double speed_m_s = flown.path.top_speed_m_s();
    const double acceleration_m_s2 = flown.path.top_acceleration_m_s2();
    if (speed_m_s > absurd_m_s || acceleration_m_s2 > absurd_acceleration_m_s2)
        list.push_back({"speed", CautionLevel::danger,
                        fmt::format("The {} goes at {:.1f} m/s and turns at {:.1f} m/s2: no drone "
                                    "that carries lamps flies so. Give it more time, or look at "
                                    "its lengths and their units again.",
                                    seen.name_of(flown), speed_m_s, acceleration_m_s2),
                        seen.alike(flown, "absurd", speed_m_s + acceleration_m_s2)});
    else if (speed_m_s > fast_m_s)
        list.push_back({"speed", CautionLevel::care,
                        fmt::format("The {} goes at {:.1f} m/s: few drones that carry lamps fly "
                                    "so fast, and none steadily. Give it more time.",
                                    seen.name_of(flown), speed_m_s),
                        seen.alike(flown, "fast", speed_m_s)});
    else if (acceleration_m_s2 > brisk_acceleration_m_s2)
        list.push_back({"speed", CautionLevel::care,
                        fmt::format("The {} turns at {:.1f} m/s2 and {:.1f} m/s. A loaded drone "
                                    "may not hold that line: fly slower or wider.",
                                    seen.name_of(flown), acceleration_m_s2, speed_m_s),
                        seen.alike(flown, "brisk", acceleration_m_s2)});
}

}  // namespace

Findings speed_cautions(const FlownTake& seen) {
    Findings list;
    for (const FlownFlight& flown : seen.flights) add_haste(list, seen, flown);
    return list;
}

}  // namespace lampflight
