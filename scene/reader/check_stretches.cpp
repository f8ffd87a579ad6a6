// Checks of what lamps are told to do on parts of their way: stretches, and aims of waypoints.
#include <string>
#include <variant>

#include "scene/basics/names.h"
#include "scene/basics/wording.h"
#include "scene/reader/check_shoot.h"

namespace lampflight {
namespace {

/// A place that is there, which a lamp that is tied to its drone can't follow.
bool is_place(const Checks& checks, const Aim& aim) {
    if (const auto* at = std::get_if<AimAtSubject>(&aim))
        return find_named(checks.shoot.subjects, at->name) != nullptr;
    const auto* word = std::get_if<AimWord>(&aim);
    return word && *word == AimWord::centre;
}

/// Lamps that an aim of a table is meant for, fixed ones among them.
template <class Meant>
void check_followed(const Checks& checks, TableRef ref, const Flight& flight, const Meant& meant) {
    for (const std::string& name : flight.carries) {
        const Lamp* lamp = find_named(checks.shoot.lamps, name);
        if (!lamp || lamp->mount != Mount::fixed || !meant(name)) continue;
        checks.refuse_value(ref, "aim",
                            "can't be followed by {}, whose mount is \"fixed\"; allowed is "
                            "\"down\", \"ahead\", or a direction to the right, ahead, up",
                            in_quotes(name));
        return;
    }
}

void check_part(const Checks& checks, TableRef ref, const PenStretch& stretch) {
    if (checks.map.is_sound(ref, "part") && checks.map.has(ref, "part") &&
        !(stretch.part[0] < stretch.part[1]))
        checks.refuse_value(ref, "part", "goes from {} to {}; allowed is from less to more",
                            stretch.part[0], stretch.part[1]);
    if (!checks.map.has(ref, "lit") && !checks.map.has(ref, "aim"))
        checks.add(checks.map.table(ref),
                   "{} changes nothing; required is \"lit\", \"aim\" or both",
                   checks.map.label(ref));
}

void check_lamps_of(const Checks& checks, TableRef ref, const PenStretch& stretch,
                    const Flight& flight) {
    if (!stretch.lamps) return;
    for (std::size_t i = 0; i < stretch.lamps->size(); ++i) {
        const std::string& name = (*stretch.lamps)[i];
        if (find_named(checks.shoot.lamps, name) && !contains(flight.carries, name))
            checks.add(checks.map.item(ref, "lamps", i),
                       "{} names {}, which {} does not carry; allowed is a lamp that it carries",
                       checks.map.label(ref, "lamps"), in_quotes(name), in_quotes(flight.name));
    }
}

}  // namespace

void check_stretches(const Checks& checks) {
    for (std::size_t i = 0; i < checks.shoot.stretches.size(); ++i) {
        const TableRef ref{"stretch", i};
        const PenStretch& stretch = checks.shoot.stretches[i];
        check_part(checks, ref, stretch);
        const Flight* flight = find_named(checks.shoot.flights, stretch.flight);
        if (!flight) continue;
        check_lamps_of(checks, ref, stretch, *flight);
        if (flight->shape == FlightShape::hover)
            checks.refuse_value(ref, "flight",
                                "is {}, which hovers and has no parts; allowed is a flight of "
                                "another shape",
                                in_quotes(flight->name));
        if (stretch.aim && is_place(checks, *stretch.aim))
            check_followed(checks, ref, *flight, [&](const std::string& lamp) {
                return !stretch.lamps || contains(*stretch.lamps, lamp);
            });
    }
    for (std::size_t i = 0; i < checks.shoot.waypoints.size(); ++i) {
        const SceneWaypoint& waypoint = checks.shoot.waypoints[i];
        const Flight* flight = find_named(checks.shoot.flights, waypoint.flight);
        if (flight && waypoint.aim && is_place(checks, *waypoint.aim))
            check_followed(checks, {"waypoint", i}, *flight,
                           [](const std::string&) { return true; });
    }
}

}  // namespace lampflight
