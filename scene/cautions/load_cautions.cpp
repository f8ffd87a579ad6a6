#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <cmath>
#include <string>

#include <fmt/format.h>

#include "scene/basics/names.h"
#include "scene/shoot/flown_flight.h"

namespace lampflight {
namespace {

// Common practice, no source.
constexpr double nearly_all = 0.9;   ///< of the rated payload
constexpr double heavy_share = 0.2;  ///< of the drone's own mass
constexpr double far_out_m = 0.3;    ///< from the middle, of all lamps together
constexpr double hot_behind_gel_lm = 500.0;

bool is_in_a_take(const Shoot& shoot, const Flight& flight) {
    return std::ranges::any_of(
        shoot.takes, [&](const Take& take) { return contains(take.flights, flight.name); });
}

bool carries_lamps(const Shoot& shoot, const Drone& drone) {
    return std::ranges::any_of(shoot.flights, [&](const Flight& flight) {
        return !flight.carries.empty() && is_in_a_take(shoot, flight) &&
               drone_of(shoot, flight) == &drone;
    });
}

std::string words_for(const Drone& drone) {
    return drone.name.empty() ? "The drone" : fmt::format("Drone \"{}\"", drone.name);
}

void add_mass(Findings& list, const Drone& drone) {
    const std::string carries =
        fmt::format("{} carries {:g} kg of lamps", words_for(drone), drone.lamp_mass_kg);
    const double share = drone.lamp_mass_kg / drone.mass_kg;
    if (!drone.payload_kg)
        list.push_back({"load",
                        CautionLevel::note,
                        fmt::format("{}; the scene tells of no rated payload (payload_kg): look it "
                                    "up in its manual.",
                                    carries),
                        {"unrated", "drone", drone.name}});
    if (drone.payload_kg && drone.lamp_mass_kg > *drone.payload_kg)
        list.push_back(
            {"load",
             CautionLevel::danger,
             fmt::format("{} and is rated for {:g} kg: take weight off.", carries,
                         *drone.payload_kg),
             {"overloaded", "drone", drone.name, "", drone.lamp_mass_kg / *drone.payload_kg}});
    else if (drone.payload_kg && drone.lamp_mass_kg > nearly_all * *drone.payload_kg)
        list.push_back({"load",
                        CautionLevel::care,
                        fmt::format("{}, nearly all of the {:g} kg that it is rated for: weigh "
                                    "them with mounts, tape and cables, and fly gently.",
                                    carries, *drone.payload_kg),
                        {"fully loaded", "drone", drone.name}});
    else if (share > heavy_share)
        list.push_back({"load",
                        CautionLevel::care,
                        fmt::format("{}, {:.0f} % of its own mass; about a fifth is common "
                                    "practice. It climbs, brakes and turns more weakly.",
                                    carries, 100.0 * share),
                        {"heavy", "drone", drone.name, "", share}});
}

/// Lamps whose common middle, all taken as alike heavy, is far from the drone's.
void add_off_centre(Findings& list, const Shoot& shoot, const Flight& flight) {
    Vec2 sum_m(0.0);
    double count = 0.0;
    for (const Lamp& lamp : shoot.lamps) {
        if (lamp.own_light || !contains(flight.carries, lamp.name)) continue;
        sum_m += Vec2(lamp.offset_m);
        count += 1.0;
    }
    const double out_m = count > 0.0 ? glm::length(sum_m) / count : 0.0;
    if (out_m <= far_out_m) return;
    list.push_back({"load",
                    CautionLevel::care,
                    fmt::format("The lamps of flight \"{}\" sit {:.2f} m out from the drone's "
                                "middle, taken together: balance them, for a centre of gravity "
                                "beside the middle costs power and may tip it over.",
                                flight.name, out_m),
                    {"off centre", "flight", flight.name, "", out_m}});
}

bool has_gel(const Lamp& lamp) {
    return lamp.gel.shift_mired != 0.0 || lamp.gel.transmission < 1.0;
}

double most_flux_lm(const Shoot& shoot, const Lamp& lamp) {
    double most_lm = lamp.flux_lm;
    for (const Take& take : shoot.takes)
        most_lm = std::max(most_lm, lamp.flux_lm * flux_scale(take, lamp));
    return most_lm;
}

void add_heat(Findings& list, const Shoot& shoot, const Lamp& lamp) {
    if (lamp.own_light || !has_gel(lamp)) return;
    const double flux_lm = most_flux_lm(shoot, lamp);
    if (flux_lm <= hot_behind_gel_lm) return;
    list.push_back(
        {"heat",
         CautionLevel::care,
         fmt::format("Lamp \"{}\" gives {:.0f} lm behind a gel, hot enough perhaps to soften gel "
                     "and tape: leave air between them, and look after a minute.",
                     lamp.name, flux_lm),
         {"hot gel", "lamp", lamp.name, "", flux_lm}});
}

}  // namespace

Findings load_cautions(const Shoot& shoot) {
    Findings list;
    for (const Drone& drone : shoot.drones)
        if (carries_lamps(shoot, drone)) add_mass(list, drone);
    for (const Flight& flight : shoot.flights)
        if (is_in_a_take(shoot, flight)) add_off_centre(list, shoot, flight);
    for (const Lamp& lamp : shoot.lamps) add_heat(list, shoot, lamp);
    return list;
}

}  // namespace lampflight
