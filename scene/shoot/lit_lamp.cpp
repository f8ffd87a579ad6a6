#include "scene/shoot/lit_lamp.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/names.h"
#include "scene/subjects/box.h"

namespace lampflight {
namespace {

const Vec3 down{0.0, 0.0, -1.0};

/// Unit vector, or down where the direction has no length to speak of.
Vec3 unit_or_down(const Vec3& direction) {
    const double length = glm::length(direction);
    return length > 1e-9 ? direction / length : down;
}

Vec3 ahead_of(const LitLamp& lit, double time_s) {
    return lit.path ? unit_or_down(lit.path->direction(time_s)) : Vec3(0.0, 1.0, 0.0);
}

Vec3 centre_from(const LitLamp& lit, double time_s) {
    const Vec3 lamp_m = lit.position_m(time_s);
    const Vec3 centre_m = lit.path ? lit.path->centre_m() : Vec3(0.0, 0.0, lamp_m.z);
    return unit_or_down(centre_m - lamp_m);
}

/// When a lamp burns of itself, from the shutter's opening to its end.
TimeWindows switched_on(const Lamp& lamp, double shutter_s) {
    TimeWindows on{{0.0, shutter_s}};
    if (lamp.lit_s) on = common(on, *lamp.lit_s);
    return lamp.pulse.per_minute ? common(on, flashes(lamp.pulse, shutter_s)) : on;
}

void add_if_lit(std::vector<LitLamp>& list, LitLamp lit) {
    if (!lit.lit.empty()) list.push_back(std::move(lit));
}

}  // namespace

bool is_carried(const Shoot& shoot, const Lamp& lamp) {
    return std::any_of(shoot.flights.begin(), shoot.flights.end(),
                       [&](const Flight& flight) { return contains(flight.carries, lamp.name); });
}

double flux_scale(const Take& take, const Lamp& lamp) {
    const auto stops = take.lamp_stops.find(lamp.name);
    return stops == take.lamp_stops.end() ? 1.0 : std::exp2(stops->second);
}

Vec3 LitLamp::position_m(double time_s) const {
    return path ? path->position_m(time_s) : lamp->position_m.value_or(Vec3(0.0));
}

std::vector<LitLamp> lit_lamps(const Shoot& shoot, const Take& take) {
    const double shutter_s = settings_of(shoot, take).shutter_s;
    std::vector<LitLamp> lit;
    for (const auto& [flight, path, flown_s] : flown_flights(shoot, take))
        for (const std::string& name : flight->carries)
            if (const Lamp* lamp = find_named(shoot.lamps, name))
                add_if_lit(lit, {lamp, path, flux_scale(take, *lamp),
                                 common(switched_on(*lamp, shutter_s), {{0.0, flown_s}})});
    for (const Lamp& lamp : shoot.lamps) {
        if (!lamp.position_m || is_carried(shoot, lamp)) continue;
        if (take.lamps && !contains(*take.lamps, lamp.name)) continue;
        add_if_lit(lit,
                   {&lamp, std::nullopt, flux_scale(take, lamp), switched_on(lamp, shutter_s)});
    }
    return lit;
}

LitLamp lit_during(LitLamp lit, const TimeWindows& times) {
    lit.lit = common(lit.lit, times);
    return lit;
}

TimeWindows flashes(const Pulse& pulse, double until_s) {
    const double period_s = pulse.period_s();
    // A flash as long as its period goes over into the next one.
    if (*pulse.on_s >= period_s) return common({{pulse.first_s, until_s}}, {{0.0, until_s}});
    TimeWindows all;
    for (int k = 0; pulse.first_s + k * period_s < until_s; ++k) {
        const double from_s = pulse.first_s + k * period_s;
        all.push_back({from_s, std::min(from_s + *pulse.on_s, until_s)});
    }
    return all;
}

std::optional<Vec3> aim_target_m(const PlacedShoot& shoot, const Lamp& lamp) {
    const auto* at = std::get_if<AimAtSubject>(&lamp.aim);
    if (!at) return std::nullopt;
    const auto subject = std::ranges::find(shoot.subjects, at->name, &Subject::name);
    if (subject == shoot.subjects.end()) return std::nullopt;
    const auto place = static_cast<std::size_t>(subject - shoot.subjects.begin());
    return box_of(shoot.meshes[place]).middle_m();
}

Vec3 aim_direction(const LitLamp& lit, const std::optional<Vec3>& target_m, double time_s) {
    const Aim& aim = lit.lamp->aim;
    if (const Vec3* direction = std::get_if<Vec3>(&aim)) return unit_or_down(*direction);
    if (std::holds_alternative<AimAtSubject>(aim))
        return target_m ? unit_or_down(*target_m - lit.position_m(time_s)) : down;
    switch (std::get<AimWord>(aim)) {
        case AimWord::ahead:
            return ahead_of(lit, time_s);
        case AimWord::centre:
            return centre_from(lit, time_s);
        case AimWord::down:
            break;
    }
    return down;
}

}  // namespace lampflight
