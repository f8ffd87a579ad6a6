#include "scene/cautions/caution_kinds.h"

#include <algorithm>

#include "scene/basics/names.h"
#include "scene/cautions/film_estimate.h"

namespace lampflight {
namespace {

/// Whether every flight is flown by day. One that no take flies may be flown by night.
bool all_by_day(const Shoot& shoot) {
    return !shoot.takes.empty() && std::ranges::all_of(shoot.takes, [&](const Take& take) {
        return take.flights.empty() || opens_by_day(shoot, take);
    });
}

}  // namespace

Findings standing_cautions(const Shoot& shoot) {
    if (shoot.flights.empty()) return {};
    Findings list;
    if (all_by_day(shoot))
        list.push_back({"rules", CautionLevel::care,
                        "Flight near people: check the rules where you fly. You may need "
                        "permission, a licence or extra training. Keep a spotter beside you."});
    else
        list.push_back({"night", CautionLevel::care,
                        "Night flight near people: check the rules where you fly. You may need "
                        "permission, a licence or extra training, and a lawful anti-collision "
                        "light. Practise the flight by day and keep a spotter beside you."});
    list.push_back({"airspace", CautionLevel::care,
                    "Look up today's airspace and temporary restrictions for this place, and ask "
                    "the owner of the land. This tool knows neither."});
    list.push_back({"load", CautionLevel::care,
                    "Lamps are a load: tie each one on twice, keep the centre of gravity under the "
                    "drone, stay within its rated payload, keep sensors and vents clear, and hover "
                    "low for a minute before the first take."});
    if (std::ranges::any_of(shoot.lamps, [](const Lamp& lamp) { return lamp.hang_m > 0.0; }))
        list.push_back({"load", CautionLevel::care,
                        "A strip that hangs swings with every turn and gust, pulls the drone after "
                        "it and can wind itself about a propeller or a branch. Weigh its lower end, "
                        "keep it clear of the motors, fly gently, and look up whether a load slung "
                        "below needs a permission of its own."});
    list.push_back({"battery", CautionLevel::care,
                    "Land on the reserve, and never fly past the drone's warning. Batteries give "
                    "less in the cold: keep them warm until take-off, and time a hover with the "
                    "lamps on in the evening's cold."});
    if (!std::ranges::all_of(shoot.lamps, &Lamp::own_light))
        list.push_back({"eyes", CautionLevel::note,
                        "Nobody looks into a lamp, on the ground or in the air. Switch lamps on "
                        "only when everyone knows, and warn drivers and neighbours."});
    return list;
}

}  // namespace lampflight
