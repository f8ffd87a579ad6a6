#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <string>
#include <string_view>
#include <utility>

#include <fmt/format.h>

#include "scene/basics/wording.h"
#include "scene/cautions/film_estimate.h"
#include "scene/lamps/signal_light.h"
#include "scene/shoot/flown_flight.h"

namespace lampflight {
namespace {

// 14 CFR 107.29: an anti-collision light is seen from at least 3 statute miles.
constexpr double mile_m = 1609.344;
constexpr double asked_for_m = 3.0 * mile_m;

// 14 CFR 25.1401(c): flashes in a minute.
constexpr double fewest_per_minute = 40.0;
constexpr double most_per_minute = 100.0;

std::string_view word_of(LightColour colour) {
    switch (colour) {
        case LightColour::red:
            return "red";
        case LightColour::green:
            return "green";
        case LightColour::blue:
            return "blue";
        case LightColour::amber:
            return "amber";
        case LightColour::white:
        case LightColour::none:
            break;
    }
    return "white";
}

/// A drone as it is flown, at night at least once or never.
struct Flown {
    const Shoot& shoot;
    const Drone& drone;
    bool flies = false;
    bool by_night = false;

    Flown(const Shoot& whole, const Drone& one) : shoot(whole), drone(one) {
        for (const Take& take : shoot.takes) {
            const bool in_take = std::ranges::any_of(take.flights, [&](const std::string& name) {
                const Flight* flight = find_named(shoot.flights, name);
                return flight && drone_of(shoot, *flight) == &drone;
            });
            flies = flies || in_take;
            by_night = by_night || (in_take && !opens_by_day(shoot, take));
        }
    }

    /// "drone "scout"", or "the drone".
    std::string words() const {
        return drone.name.empty() ? "the drone" : "drone " + in_quotes(drone.name);
    }

    Finding finding(CautionLevel level, std::string text, std::string kind) const {
        return {"lights", level, std::move(text), {std::move(kind), "drone", drone.name}};
    }
};

bool shows_lights(const Drone& drone) {
    const PositionLights& lights = drone.lights;
    return drone.own_lights == OwnLights::showing &&
           (lights.left != LightColour::none || lights.right != LightColour::none ||
            lights.behind != LightColour::none);
}

void add_dark(Findings& list, const Flown& flown) {
    if (!flown.by_night || shows_lights(flown.drone) || flown.drone.beacon.pulse.per_minute) return;
    list.push_back(flown.finding(
        CautionLevel::care,
        fmt::format("No light of its own shows on {}: they are covered, and it has no beacon. Many "
                    "authorities ask for a light that others see at night, some for one at all "
                    "times, and a taped light may break the rule: look it up before you cover any. "
                    "Tape over lights alone, never over motors, vents or sensors.",
                    flown.words()),
        "dark"));
}

void add_streaks(Findings& list, const Flown& flown) {
    if (!shows_lights(flown.drone)) return;
    list.push_back(flown.finding(
        CautionLevel::note,
        fmt::format("The position lights of {} show. They burn for as long as the shutter is open, "
                    "on dark run-ups and ways between flights as well, and draw streaks of their "
                    "own.",
                    flown.words()),
        "streaks"));
}

void add_faint(Findings& list, const Flown& flown) {
    const Beacon& beacon = flown.drone.beacon;
    Lamp lamp;
    lamp.flux_lm = beacon.flux_lm;
    lamp.beam_deg = 360.0;
    const double seen_m =
        seen_from_m(effective_intensity_cd(Beam(lamp).intensity_cd(1.0), *beacon.pulse.on_s),
                    extinction_per_m(flown.shoot.air.visibility_km));
    if (seen_m >= asked_for_m) return;
    list.push_back(flown.finding(
        CautionLevel::care,
        fmt::format("The beacon of {} is seen from {:.1f} km at night through the scene's air; 14 "
                    "CFR 107.29 asks for 3 statute miles, {:.1f} km. Look up the rule where you "
                    "fly.",
                    flown.words(), seen_m / 1000.0, asked_for_m / 1000.0),
        "faint"));
}

void add_beat(Findings& list, const Flown& flown) {
    const double per_minute = *flown.drone.beacon.pulse.per_minute;
    if (per_minute >= fewest_per_minute && per_minute <= most_per_minute) return;
    list.push_back(flown.finding(
        CautionLevel::note,
        fmt::format("The beacon of {} flashes {:.4g} times a minute; 14 CFR 25.1401(c), written "
                    "for airliners, has {:.0f} to {:.0f}. Look up the rule where you fly.",
                    flown.words(), per_minute, fewest_per_minute, most_per_minute),
        "beat"));
}

void add_not_green(Findings& list, const Flown& flown) {
    const LightColour colour = flown.drone.beacon.colour;
    if (colour == LightColour::green) return;
    list.push_back(flown.finding(
        CautionLevel::note,
        fmt::format("The beacon of {} is {}; at night Regulation (EU) 2019/947, "
                    "UAS.OPEN.060(2)(g), as amended by 2020/639, asks for a green flashing light. "
                    "Look up the rule where you fly.",
                    flown.words(), word_of(colour)),
        "colour"));
}

}  // namespace

Findings own_light_cautions(const Shoot& shoot) {
    Findings list;
    for (const Drone& drone : shoot.drones) {
        const Flown flown(shoot, drone);
        if (!flown.flies) continue;
        add_dark(list, flown);
        add_streaks(list, flown);
        if (!flown.by_night || !drone.beacon.pulse.per_minute) continue;
        add_faint(list, flown);
        add_beat(list, flown);
        add_not_green(list, flown);
    }
    return list;
}

}  // namespace lampflight
