#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <string>

#include <fmt/format.h>

#include "scene/shoot/framing.h"

namespace lampflight {
namespace {

double last_end_s(const FlownTake& seen) {
    double last_s = 0.0;
    for (const FlownFlight& flown : seen.flights) last_s = std::max(last_s, flown.path.ends_s());
    return last_s;
}

void add_timing(Findings& list, const FlownTake& seen, const FlownFlight& flown) {
    const Flight& flight = *flown.flight;
    const double shutter_s = seen.settings.shutter_s;
    // Short of a thousandth of the shutter, nobody sees or times the difference.
    const double slack_s = 1e-3 * shutter_s;
    if (flown.path.begins_s() >= shutter_s) {
        list.push_back({"lap", CautionLevel::care,
                        fmt::format("The {} begins at {:.1f} s, when the shutter has closed: "
                                    "nothing of it is in the picture.",
                                    seen.name_of(flown), flown.path.begins_s()),
                        seen.alike(flown, "too late", flown.path.begins_s())});
        return;
    }
    const double over_s = flown.path.ends_s() - shutter_s;
    if (over_s < -slack_s) {
        // Of flights one after another the last alone leaves the sky to itself.
        if (last_end_s(seen) > flown.path.ends_s()) return;
        list.push_back({"lap", CautionLevel::note,
                        fmt::format("The shutter stays open {:.1f} s after the {} has ended: the "
                                    "sky goes on gathering, the lamps are taken as dark.",
                                    -over_s, seen.name_of(flown)),
                        seen.alike(flown, "ended", -over_s)});
        return;
    }
    if (over_s <= slack_s) return;
    const bool gap = closes(flight.shape) && flight.turns >= 1.0 &&
                     flown.path.flown_turns(shutter_s + slack_s) < 1.0;
    const double begins_s = flown.path.begins_s();
    const std::string cut = fmt::format(
        "The {}{} takes {:.1f} s but the shutter closes at {:.1f} s: ", seen.name_of(flown),
        begins_s > 0.0 ? fmt::format(" begins at {:.1f} s and", begins_s) : "",
        flown.path.duration_s(), shutter_s);
    if (gap)
        list.push_back({"lap", CautionLevel::care,
                        cut + fmt::format("a gap of {:.0f} degrees stays open. Fly the lap faster "
                                          "or pace it by the shutter.",
                                          -closure_deg(flight, flown.path, shutter_s)),
                        seen.alike(flown, "gap", over_s)});
    else if (flight.pace == Pace::shutter)
        list.push_back({"lap", CautionLevel::care,
                        cut + "its limits do not let it fly in what is left of the exposure. "
                              "Shorten what is flown before it, or open the shutter for longer.",
                        seen.alike(flown, "too short", over_s)});
    else
        list.push_back({"lap", CautionLevel::care, cut + "the rest is not in the picture.",
                        seen.alike(flown, "cut", over_s)});
}

}  // namespace

Findings lap_cautions(const FlownTake& seen) {
    Findings list;
    for (const FlownFlight& flown : seen.flights) add_timing(list, seen, flown);
    return list;
}

}  // namespace lampflight
