#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "scene/reader/check_shoot.h"
#include "scene/shoot/own_lights.h"

namespace lampflight {
namespace {

void check_light_names(const Checks& checks) {
    const std::vector<OwnLight> own = own_lights(checks.shoot);
    for (std::size_t i = 0; i < checks.shoot.lamps.size(); ++i) {
        const TableRef ref{"lamp", i};
        const bool taken = std::ranges::any_of(own, [&](const OwnLight& light) {
            return light.lamp.name == checks.shoot.lamps[i].name;
        });
        if (taken)
            checks.add(checks.map.value(ref, "name"),
                       "{} has a name that is kept for a drone's own light; allowed is any other",
                       checks.map.label(ref));
    }
}

/// What tells of lights that nobody sees.
void check_covered(const Checks& checks, TableRef ref, const Drone& drone) {
    if (drone.own_lights == OwnLights::showing || !checks.map.is_sound(ref, "own_lights")) return;
    for (const std::string_view key :
         {"lights.left", "lights.right", "lights.behind", "lights.flux_lm"})
        if (checks.map.has(ref, key))
            return checks.refuse_key(ref, key,
                                     "tells of lights that are covered; allowed with own_lights = "
                                     "\"showing\"");
}

/// As many as stay quick to expose; a lamp that flickers with the mains makes 100 in a second.
constexpr double most_flashes = 20000.0;

void check_count(const Checks& checks, TableRef ref, std::string_view inner, const Pulse& pulse) {
    double longest_s = checks.shoot.camera.shutter_s;
    for (const Take& take : checks.shoot.takes)
        longest_s = std::max(longest_s, take.shutter_s.value_or(0.0));
    const std::string key = fmt::format("{}.per_minute", inner);
    const double flashes = longest_s / pulse.period_s();
    if (flashes > most_flashes && checks.map.is_sound(ref, key))
        checks.refuse_value(ref, key,
                            "is {}, which makes {:.0f} flashes in the longest exposure, {} s; "
                            "allowed is up to {:.4g} there, or no \"{}\" at all",
                            *pulse.per_minute, flashes, longest_s, 60.0 * most_flashes / longest_s,
                            inner);
}

}  // namespace

void check_flash(const Checks& checks, TableRef ref, std::string_view inner, const Pulse& pulse) {
    if (!pulse.per_minute || !pulse.on_s) return;
    check_count(checks, ref, inner, pulse);
    if (*pulse.on_s <= pulse.period_s()) return;
    const std::string on = fmt::format("{}.on_s", inner);
    if (checks.map.has(ref, on))
        checks.refuse_value(
            ref, on, "is {} s, but the next flash begins after {:.4g} s; allowed is up to that",
            *pulse.on_s, pulse.period_s());
    else
        checks.refuse_value(ref, fmt::format("{}.per_minute", inner),
                            "is {}, but a flash lasts {} s; allowed is up to {:.4g}",
                            *pulse.per_minute, *pulse.on_s, 60.0 / *pulse.on_s);
}

void check_own_lights(const Checks& checks) {
    for (std::size_t i = 0; i < checks.shoot.drones.size(); ++i) {
        check_covered(checks, {"drone", i}, checks.shoot.drones[i]);
        check_inner(checks, {"drone", i}, "beacon",
                    {"per_minute", "on_s", "first_s", "flux_lm", "colour"}, {"per_minute"});
        const Beacon& beacon = checks.shoot.drones[i].beacon;
        check_flash(checks, {"drone", i}, "beacon", beacon.pulse);
        if (beacon.colour == LightColour::none)
            checks.refuse_value({"drone", i}, "beacon.colour",
                                "is \"none\", but a beacon shines; allowed is a colour, or no "
                                "\"beacon\" at all");
    }
    check_light_names(checks);
}

}  // namespace lampflight
