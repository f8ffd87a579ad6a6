#include <algorithm>
#include <map>

#include "scene/basics/names.h"
#include "scene/basics/wording.h"
#include "scene/reader/check_shoot.h"
#include "scene/shoot/flown_flight.h"

namespace lampflight {
namespace {

/// Whether a lamp has a position, right or wrong.
bool stands(const Checks& checks, const Lamp& lamp) {
    const auto index = static_cast<std::size_t>(&lamp - checks.shoot.lamps.data());
    return checks.map.has({"lamp", index}, "position_m");
}

bool has_standing_lamp(const Checks& checks) {
    return std::ranges::any_of(checks.shoot.lamps,
                               [&](const Lamp& lamp) { return stands(checks, lamp); });
}

bool is_lit(const Checks& checks, const Take& take, const Lamp& lamp) {
    if (stands(checks, lamp)) return !take.lamps || contains(*take.lamps, lamp.name);
    return std::ranges::any_of(take.flights, [&](const std::string& name) {
        const Flight* flight = find_named(checks.shoot.flights, name);
        // A flight that is not there has been told of; it may have carried the lamp.
        return !flight || contains(flight->carries, lamp.name);
    });
}

/// Whether the sky alone makes a photograph: that of a place always, a stated one unless it is
/// dark.
bool has_sky(const Checks& checks) {
    const TableRef sky{"sky", 0};
    return checks.map.has({"place", 0}) || checks.map.is_broken("sky") ||
           !checks.map.is_sound(sky, "horizontal_lx") || checks.shoot.sky.horizontal_lx > 0.0;
}

void check_has_light(const Checks& checks, TableRef ref, const Take& take) {
    const bool standing = checks.map.has(ref, "lamps") ? !take.lamps || !take.lamps->empty()
                                                       : has_standing_lamp(checks);
    if (checks.map.has(ref, "flights") || standing || has_sky(checks)) return;
    if (checks.map.is_broken("flight") || checks.map.is_broken("lamp")) return;
    checks.add(checks.map.table(ref),
               "{} has no light; allowed are \"flights\", a standing lamp, or a [sky] with "
               "horizontal_lx above 0",
               checks.map.label(ref));
}

/// Whether two flights of a take are one drone's, one after the other.
bool is_one_drone(const Shoot& shoot, const Take& take, std::size_t one, std::size_t other) {
    const auto first = [&](std::size_t place) {
        for (std::size_t steps = 0; steps < take.flights.size(); ++steps)
            if (const auto before = flight_before(shoot, take, place)) place = *before;
        return place;
    };
    return first(one) == first(other);
}

void check_lamps_flown_once(const Checks& checks, TableRef ref, const Take& take) {
    std::map<std::string, std::size_t> carrier;
    for (std::size_t i = 0; i < take.flights.size(); ++i) {
        const Flight* flight = find_named(checks.shoot.flights, take.flights[i]);
        if (!flight) continue;
        for (const std::string& lamp : flight->carries) {
            const auto [first, is_new] = carrier.emplace(lamp, i);
            if (is_new || take.flights[first->second] == flight->name ||
                is_one_drone(checks.shoot, take, first->second, i))
                continue;
            checks.add(checks.map.item(ref, "flights", i),
                       "{} flies the lamp {} with {} and with {}; allowed is one flight a lamp, or "
                       "flights of one drone, which \"after\" joins",
                       checks.map.label(ref, "flights"), in_quotes(lamp),
                       in_quotes(take.flights[first->second]), in_quotes(flight->name));
        }
    }
}

/// No two flights of a take right after the same one.
void check_order_in_take(const Checks& checks, TableRef ref, const Take& take) {
    std::map<std::size_t, std::size_t> follower;
    for (std::size_t i = 0; i < take.flights.size(); ++i) {
        const auto before = flight_before(checks.shoot, take, i);
        if (!before) continue;
        const auto [first, is_new] = follower.emplace(*before, i);
        if (is_new) continue;
        checks.add(checks.map.item(ref, "flights", i),
                   "{} flies {} and {} right after {}; allowed is one flight after another",
                   checks.map.label(ref, "flights"), in_quotes(take.flights[first->second]),
                   in_quotes(take.flights[i]), in_quotes(take.flights[*before]));
    }
}

void check_standing_lamps(const Checks& checks, TableRef ref, const Take& take) {
    for (std::size_t i = 0; take.lamps && i < take.lamps->size(); ++i) {
        const Lamp* lamp = find_named(checks.shoot.lamps, (*take.lamps)[i]);
        if (lamp && !stands(checks, *lamp))
            checks.add(checks.map.item(ref, "lamps", i),
                       "{} names {}, which has no position_m; allowed is a lamp that stands",
                       checks.map.label(ref, "lamps"), in_quotes(lamp->name));
    }
}

void check_lamp_stops(const Checks& checks, TableRef ref, const Take& take) {
    if (!checks.map.all_sound(ref, {"flights", "lamps"})) return;
    for (const auto& [name, stops] : take.lamp_stops) {
        const Lamp* lamp = find_named(checks.shoot.lamps, name);
        if (lamp && !is_lit(checks, take, *lamp))
            checks.add(checks.map.item(ref, "lamp_stops", name),
                       "{} names {}, which is dark in this take; allowed is a lamp that is lit",
                       checks.map.label(ref, "lamp_stops"), in_quotes(name));
    }
}

}  // namespace

void check_takes(const Checks& checks) {
    for (std::size_t i = 0; i < checks.shoot.takes.size(); ++i) {
        const TableRef ref{"take", i};
        const Take& take = checks.shoot.takes[i];
        check_has_light(checks, ref, take);
        check_lamps_flown_once(checks, ref, take);
        check_order_in_take(checks, ref, take);
        check_standing_lamps(checks, ref, take);
        check_lamp_stops(checks, ref, take);
    }
}

}  // namespace lampflight
