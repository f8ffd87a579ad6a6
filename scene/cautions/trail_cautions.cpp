#include "scene/cautions/caution_kinds.h"

#include <fmt/format.h>

#include "scene/shoot/framing.h"

namespace lampflight {
namespace {

using Cautions = std::vector<Caution>;

/// A speed that was asked for and that the flight's limits forbid.
void add_held_speed(Cautions& list, const FlownTake& seen, const FlownFlight& flown) {
    const Flight& flight = *flown.flight;
    if (!flight.limits.given() || !flight.speed_m_s) return;
    const double top_m_s = flown.path.top_speed_m_s();
    if (top_m_s >= (1.0 - 1e-3) * *flight.speed_m_s) return;
    list.push_back({"speed", CautionLevel::note,
                    fmt::format("The {} is asked to go at {} m/s; within its limits it comes to "
                                "{:.1f} m/s.",
                                seen.name_of(flown), *flight.speed_m_s, top_m_s)});
}

void add_frame(Cautions& list, const FlownTake& seen, const FlownFlight& flown) {
    const Framing framing = frame_flight(seen.shoot.camera, flown.path, seen.settings.shutter_s);
    if (!framing.box)
        list.push_back({"frame", CautionLevel::care,
                        fmt::format("The {} lies wholly behind the camera.", seen.name_of(flown))});
    else if (framing.in_frame <= 0.0)
        list.push_back({"frame", CautionLevel::care,
                        fmt::format("The {} lies wholly outside the frame.", seen.name_of(flown))});
    else if (framing.in_frame < 1.0)
        list.push_back({"frame", CautionLevel::care,
                        fmt::format("The {} is out of the frame for {:.1f} % of its time. Step "
                                    "back, aim anew or take a wider lens.",
                                    seen.name_of(flown), 100.0 * (1.0 - framing.in_frame))});
}

void add_timing(Cautions& list, const FlownTake& seen, const FlownFlight& flown) {
    const Flight& flight = *flown.flight;
    const double shutter_s = seen.settings.shutter_s;
    // Short of a thousandth of the shutter, nobody sees or times the difference.
    const double slack_s = 1e-3 * shutter_s;
    const double over_s = flown.path.duration_s() - shutter_s;
    if (over_s < -slack_s) {
        list.push_back({"lap", CautionLevel::note,
                        fmt::format("The shutter stays open {:.1f} s after the {} has ended: the "
                                    "sky goes on gathering, the lamps are taken as dark.",
                                    -over_s, seen.name_of(flown))});
        return;
    }
    if (over_s <= slack_s) return;
    const bool gap = closes(flight.shape) && flight.turns >= 1.0 &&
                     flown.path.flown_turns(shutter_s + slack_s) < 1.0;
    const std::string cut = fmt::format(
        "The {} takes {:.1f} s but the shutter closes at {:.1f} s: ", seen.name_of(flown),
        flown.path.duration_s(), shutter_s);
    if (gap)
        list.push_back({"lap", CautionLevel::care,
                        cut + fmt::format("a gap of {:.0f} degrees stays open. Fly the lap faster "
                                          "or pace it by the shutter.",
                                          -closure_deg(flight, flown.path, shutter_s))});
    else
        list.push_back({"lap", CautionLevel::care, cut + "the rest is not in the picture."});
}

}  // namespace

std::vector<Caution> trail_cautions(const FlownTake& seen) {
    Cautions list;
    for (const FlownFlight& flown : seen.flights) add_held_speed(list, seen, flown);
    for (const FlownFlight& flown : seen.flights) {
        add_frame(list, seen, flown);
        add_timing(list, seen, flown);
    }
    return list;
}

}  // namespace lampflight
