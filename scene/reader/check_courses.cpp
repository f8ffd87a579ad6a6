// Checks of what a flight is drawn from, and of which flight comes after which.
#include <algorithm>
#include <set>

#include "scene/basics/wording.h"
#include "scene/reader/check_shoot.h"

namespace lampflight {
namespace {

bool has_rows(const Checks& checks, const Flight& flight) {
    return std::ranges::any_of(checks.shoot.waypoints, [&](const SceneWaypoint& waypoint) {
        return waypoint.flight == flight.name;
    });
}

}  // namespace

void check_course(const Checks& checks, TableRef ref, const Flight& flight) {
    const SceneMap& map = checks.map;
    if (!map.is_sound(ref, "shape") || flight.shape != FlightShape::waypoints) return;
    const bool rows = has_rows(checks, flight);
    if (map.has(ref, "waypoints")) {
        if (rows)
            checks.refuse_key(ref, "waypoints",
                              "stands beside [[waypoint]] of that flight; allowed is a file or such "
                              "tables");
        return;
    }
    if (map.is_broken("waypoint") || flight.path.size() > 1) return;
    checks.add(map.table(ref),
               "{} has {}; required are \"waypoints\", a file of them, or two [[waypoint]] with "
               "flight = {}",
               map.label(ref), rows ? "one waypoint alone" : "no waypoints",
               in_quotes(flight.name));
}

void check_order(const Checks& checks, TableRef ref, const Flight& flight) {
    if (!flight.after) return;
    if (flight.drone)
        checks.refuse_key(ref, "drone",
                          "stands beside \"after\", which says that its drone is that of {}; "
                          "allowed is one of the two",
                          in_quotes(*flight.after));
    std::set<std::string> before;
    for (const Flight* at = &flight; at && at->after; at = find_named(checks.shoot.flights, *at->after))
        if (!before.insert(at->name).second || *at->after == flight.name)
            return checks.refuse_value(ref, "after",
                                       "comes back to {} itself; allowed is a flight that does not "
                                       "come after this one",
                                       in_quotes(flight.name));
}

void check_waypoints(const Checks& checks) {
    for (std::size_t i = 0; i < checks.shoot.waypoints.size(); ++i) {
        const TableRef ref{"waypoint", i};
        const SceneWaypoint& waypoint = checks.shoot.waypoints[i];
        check_above_ground(checks, ref, waypoint.at_m);
        const Flight* flight = find_named(checks.shoot.flights, waypoint.flight);
        if (!flight) continue;
        const auto place = static_cast<std::size_t>(flight - checks.shoot.flights.data());
        if (checks.map.is_sound({"flight", place}, "shape") &&
            flight->shape != FlightShape::waypoints)
            checks.refuse_value(ref, "flight",
                                "is {}, whose shape is another; allowed is a flight with shape = "
                                "\"waypoints\"",
                                in_quotes(flight->name));
        if (i > 0 && checks.shoot.waypoints[i - 1].flight == waypoint.flight &&
            checks.map.is_sound(ref, "position_m") &&
            checks.map.is_sound({"waypoint", i - 1}, "position_m") &&
            glm::distance(checks.shoot.waypoints[i - 1].at_m, waypoint.at_m) < shortest_line_m)
            checks.refuse_value(ref, "position_m",
                                "is that of the waypoint before; allowed is at least {} m off, or "
                                "hold_s to stay there",
                                shortest_line_m);
    }
}

void check_stretches(const Checks& checks) {
    for (std::size_t i = 0; i < checks.shoot.stretches.size(); ++i) {
        const TableRef ref{"stretch", i};
        const PenStretch& stretch = checks.shoot.stretches[i];
        if (checks.map.is_sound(ref, "part") && checks.map.has(ref, "part") &&
            !(stretch.part[0] < stretch.part[1]))
            checks.refuse_value(ref, "part", "goes from {} to {}; allowed is from less to more",
                                stretch.part[0], stretch.part[1]);
    }
}

void check_limits_table(const Checks& checks, TableRef ref) {
    check_inner(checks, ref, "limits",
                {"speed_m_s", "acceleration_m_s2", "turning_m_s2", "climb_m_s", "descent_m_s",
                 "yaw_deg_s"},
                {"acceleration_m_s2"});
}

void check_drones(const Checks& checks) {
    for (std::size_t i = 0; i < checks.shoot.drones.size(); ++i) {
        const TableRef ref{"drone", i};
        if (checks.shoot.drones.size() > 1 && !checks.map.has(ref, "name"))
            checks.add(checks.map.table(ref),
                       "{} has no \"name\", and is not the only one; required is a name that "
                       "flights can call",
                       checks.map.label(ref));
        check_limits_table(checks, ref);
    }
}

}  // namespace lampflight
