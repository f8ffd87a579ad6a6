#include "scene/cautions/cautions.h"

#include <algorithm>
#include <iterator>

#include <fmt/format.h>

#include "scene/basics/names.h"
#include "scene/cautions/caution_kinds.h"

namespace lampflight {
namespace {

using Cautions = std::vector<Caution>;

void add_standing_rules(Cautions& list, const Shoot& shoot) {
    if (shoot.flights.empty()) return;
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
    list.push_back({"battery", CautionLevel::care,
                    "Land with a reserve. This tool does not know your battery: time a hover with "
                    "the lamps on in the evening's cold, and plan from that."});
    if (!shoot.lamps.empty())
        list.push_back({"eyes", CautionLevel::note,
                        "Nobody looks into a lamp, on the ground or in the air. Switch lamps on "
                        "only when everyone knows, and warn drivers and neighbours."});
}

bool is_flown(const Shoot& shoot, const Flight& flight) {
    return std::any_of(shoot.takes.begin(), shoot.takes.end(),
                       [&](const Take& take) { return contains(take.flights, flight.name); });
}

void add_unused(Cautions& list, const Shoot& shoot) {
    for (const Lamp& lamp : shoot.lamps)
        if (!is_carried(shoot, lamp) && !lamp.position_m)
            list.push_back({"lamp", CautionLevel::care,
                            fmt::format("Lamp \"{}\" is carried by no flight and stands nowhere, "
                                        "so it never burns.",
                                        lamp.name)});
    for (const Flight& flight : shoot.flights)
        if (!is_flown(shoot, flight))
            list.push_back({"flight", CautionLevel::note,
                            fmt::format("Flight \"{}\" is flown in no take.", flight.name)});
}

void append(Cautions& list, Cautions more) {
    std::ranges::move(more, std::back_inserter(list));
}

}  // namespace

std::vector<Caution> cautions(const PlacedShoot& shoot) {
    std::vector<FlownTake> takes;
    for (const Take& take : shoot.takes) takes.emplace_back(shoot, take);
    Cautions list;
    for (const FlownTake& take : takes) {
        append(list, safety_cautions(take));
        append(list, trail_cautions(take));
    }
    add_unused(list, shoot);
    append(list, time_cautions(shoot, takes));
    for (const FlownTake& take : takes) append(list, focus_cautions(take));
    append(list, shadow_cautions(shoot));
    add_standing_rules(list, shoot);
    std::ranges::stable_sort(list, std::ranges::greater{}, &Caution::level);
    return list;
}

}  // namespace lampflight
