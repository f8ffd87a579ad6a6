#include "scene/cautions/cautions.h"

#include <algorithm>
#include <functional>
#include <iterator>

#include <fmt/format.h>

#include "scene/basics/names.h"
#include "scene/cautions/caution_kinds.h"
#include "scene/shoot/flown_flight.h"

namespace lampflight {
namespace {

bool is_flown(const Shoot& shoot, const Flight& flight) {
    return std::any_of(shoot.takes.begin(), shoot.takes.end(),
                       [&](const Take& take) { return contains(take.flights, flight.name); });
}

bool flies(const Shoot& shoot, const Drone& drone) {
    return std::ranges::any_of(
        shoot.flights, [&](const Flight& flight) { return drone_of(shoot, flight) == &drone; });
}

void add_unused(Findings& list, const Shoot& shoot) {
    for (const Lamp& lamp : shoot.lamps)
        if (!is_carried(shoot, lamp) && !lamp.position_m)
            list.push_back({"lamp",
                            CautionLevel::care,
                            fmt::format("Lamp \"{}\" is carried by no flight and stands nowhere, "
                                        "so it never burns.",
                                        lamp.name),
                            {"unused", "lamp", lamp.name}});
    for (const Flight& flight : shoot.flights)
        if (!is_flown(shoot, flight))
            list.push_back({"flight",
                            CautionLevel::note,
                            fmt::format("Flight \"{}\" is flown in no take.", flight.name),
                            {"unused", "flight", flight.name}});
    for (const Drone& drone : shoot.drones)
        if (!flies(shoot, drone))
            list.push_back(
                {"flight",
                 CautionLevel::note,
                 fmt::format("Drone \"{}\" flies no flight, so its limits hold for none.",
                             drone.name),
                 {"unused drone", "drone", drone.name}});
}

void append(Findings& list, Findings more) {
    std::ranges::move(more, std::back_inserter(list));
}

}  // namespace

std::vector<Caution> cautions(const PlacedShoot& shoot) {
    std::vector<FlownTake> takes;
    for (const Take& take : shoot.takes) takes.emplace_back(shoot, take);
    Findings found;
    for (const FlownTake& take : takes)
        for (const auto kind : {safety_cautions, obstacle_cautions, glare_cautions, height_cautions,
                                return_cautions, speed_cautions, wind_cautions, sensing_cautions})
            append(found, kind(take));
    append(found, place_cautions(shoot));
    append(found, daylight_cautions(shoot));
    append(found, camera_cautions(shoot));
    append(found, mesh_cautions(shoot));
    for (const FlownTake& take : takes)
        for (const auto kind : {exposure_cautions, shutter_cautions, frame_cautions, lap_cautions})
            append(found, kind(take));
    add_unused(found, shoot);
    append(found, time_cautions(shoot, takes));
    for (const FlownTake& take : takes)
        for (const auto kind : {focus_cautions, lens_cautions}) append(found, kind(take));
    append(found, shadow_cautions(shoot));
    for (const auto kind : {battery_cautions, load_cautions, own_light_cautions, standing_cautions})
        append(found, kind(shoot));
    std::vector<Caution> list = told_once(found);
    std::ranges::stable_sort(list, std::ranges::greater{}, &Caution::level);
    return list;
}

}  // namespace lampflight
