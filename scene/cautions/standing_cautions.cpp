#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <string>

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

std::string sight_text(bool by_day) {
    if (by_day) return "Keep the drone in sight and a spotter beside you.";
    return "The drone's sensing is blind in the dark: fly all by day first, keep it in sight and a "
           "spotter beside you.";
}

/// Needed where the scene does not state it of every drone.
std::string return_text(const Shoot& shoot) {
    const bool stated =
        !shoot.drones.empty() && std::ranges::all_of(shoot.drones, [](const Drone& drone) {
            return drone.return_height_m.has_value();
        });
    return stated ? "" : " Set its return height above lines and branches.";
}

}  // namespace

Findings standing_cautions(const Shoot& shoot) {
    if (shoot.flights.empty()) return {};
    const bool by_day = all_by_day(shoot);
    Findings list;
    if (by_day)
        list.push_back({"rules", CautionLevel::care,
                        "Flight near people: check the rules where you fly. You may need "
                        "permission, a licence or extra training; local rules and licensed "
                        "practice come before anything told here."});
    else
        list.push_back({"night", CautionLevel::care,
                        "Night flight near people: check the rules where you fly. You may need "
                        "permission, a licence, extra training and an anti-collision light; local "
                        "rules and licensed practice come before anything told here."});
    list.push_back({"airspace", CautionLevel::care,
                    "Ask the aviation authority about airspace and restrictions of the day, and "
                    "the owner about the land: this tool knows neither."});
    list.push_back({"sight", CautionLevel::care, sight_text(by_day) + return_text(shoot)});
    list.push_back({"load", CautionLevel::care,
                    "Lamps are a load: tie each one on twice, keep the centre of gravity under the "
                    "drone, keep tape, gels and cables off propellers, sensors and vents, stay "
                    "within its rated payload, and hover low for a minute before the first take."});
    if (std::ranges::any_of(shoot.lamps, [](const Lamp& lamp) { return lamp.hang_m > 0.0; }))
        list.push_back(
            {"load", CautionLevel::care,
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
