// Checks of what a flight is drawn from, and of which flight comes after which.
#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "scene/basics/wording.h"
#include "scene/keys/key_table.h"
#include "scene/flights/flight_shapes.h"
#include "scene/reader/check_shoot.h"

namespace lampflight {
namespace {

bool has_rows(const Checks& checks, const Flight& flight) {
    return std::ranges::any_of(checks.shoot.waypoints, [&](const SceneWaypoint& waypoint) {
        return waypoint.flight == flight.name;
    });
}

/// What stands in a file of waypoints, and no single value of it shows.
void check_file(const Checks& checks, TableRef ref, const Flight& flight) {
    double low_m = 1.0;
    std::set<std::string> told;
    for (const Waypoint& waypoint : flight.path) {
        low_m = std::min(low_m, waypoint.at_m.z);
        const auto* at = waypoint.aim ? std::get_if<AimAtSubject>(&*waypoint.aim) : nullptr;
        if (!at || checks.map.is_broken("subject") || !told.insert(at->name).second) continue;
        if (find_named(checks.shoot.subjects, at->name)) continue;
        std::vector<std::string> known;
        for (const Subject& subject : checks.shoot.subjects) known.push_back(subject.name);
        for (const std::string& word : written_words<AimWord>()) known.push_back(word);
        checks.refuse_value(ref, "waypoints",
                            "is {}, in which an aim names the subject {}, which "
                            "is not there{}",
                            in_quotes(*flight.waypoints), in_quotes(at->name),
                            hint(at->name, known));
    }
    if (low_m <= 0.0)
        checks.refuse_value(ref, "waypoints",
                            "is {}, which leads down to {:.3g} m; allowed is all of it above 0 m",
                            in_quotes(*flight.waypoints), low_m);
}

}  // namespace

void check_course(const Checks& checks, TableRef ref, const Flight& flight) {
    const SceneMap& map = checks.map;
    if (flight.shape == FlightShape::sweep && map.all_sound(ref, {"shape", "width_m", "lane_m"}) &&
        flight.width_m / flight.lane_m > most_lanes)
        checks.refuse_value(ref, "lane_m",
                            "is {}, which makes {:.0f} lanes of {} m; allowed are up to {}",
                            flight.lane_m, flight.width_m / flight.lane_m, flight.width_m,
                            most_lanes);
    if (!map.is_sound(ref, "shape") || flight.shape != FlightShape::waypoints) return;
    const bool rows = has_rows(checks, flight);
    if (map.has(ref, "waypoints")) {
        if (rows)
            checks.refuse_key(
                ref, "waypoints",
                "stands beside [[waypoint]] of that flight; allowed is a file or such "
                "tables");
        if (flight.waypoints) check_file(checks, ref, flight);
        return;
    }
    if (map.has(ref, "track"))
        checks.refuse_key(ref, "track",
                          "names a path of a file, but there is no \"waypoints\"; allowed beside "
                          "such a file");
    if (map.is_broken("waypoint") || flight.path.size() > 1) return;
    checks.add(map.table(ref),
               "{} has {}; required are \"waypoints\", a file of them, or two [[waypoint]] with "
               "flight = {}",
               map.label(ref), rows ? "one waypoint alone" : "no waypoints",
               in_quotes(flight.name));
}

void check_order(const Checks& checks, TableRef ref, const Flight& flight) {
    if (flight.lit_between && !flight.after && !flight.drone && checks.map.is_sound(ref, "after") &&
        checks.map.is_sound(ref, "drone"))
        checks.refuse_key(ref, "lit_between",
                          "is about the way from the flight before; allowed with \"after\" or "
                          "\"drone\"");
    if (!flight.after) return;
    if (*flight.after == flight.name)
        return checks.refuse_value(ref, "after", "is the flight itself; allowed is another one");
    if (flight.drone)
        checks.refuse_key(ref, "drone",
                          "stands beside \"after\", which says that its drone is that of {}; "
                          "allowed is one of the two",
                          in_quotes(*flight.after));
    std::set<std::string> before;
    for (const Flight* at = &flight; at && at->after;
         at = find_named(checks.shoot.flights, *at->after))
        if (!before.insert(at->name).second || *at->after == flight.name)
            return checks.refuse_value(ref, "after",
                                       "comes back to {} itself; allowed is a flight that does not "
                                       "come after this one",
                                       in_quotes(flight.name));
}

void check_waypoints(const Checks& checks) {
    std::map<std::string, std::size_t> before;  // the last one of each flight
    for (std::size_t i = 0; i < checks.shoot.waypoints.size(); ++i) {
        const TableRef ref{"waypoint", i};
        const SceneWaypoint& waypoint = checks.shoot.waypoints[i];
        check_above_ground(checks, ref, waypoint.at_m);
        const Flight* flight = find_named(checks.shoot.flights, waypoint.flight);
        if (!flight) continue;
        const auto place = static_cast<std::size_t>(flight - checks.shoot.flights.data());
        if (checks.map.is_sound({"flight", place}, "shape") &&
            flight->shape != FlightShape::waypoints)
            checks.refuse_value(
                ref, "flight",
                "is {}, whose shape is {}; allowed is a flight with shape = "
                "\"waypoints\"",
                in_quotes(flight->name),
                in_quotes(words_of<FlightShape>.at(static_cast<std::size_t>(flight->shape))));
        const auto [last, first] = before.try_emplace(waypoint.flight, i);
        const std::size_t other = std::exchange(last->second, i);
        if (!first && checks.map.is_sound(ref, "position_m") &&
            checks.map.is_sound({"waypoint", other}, "position_m") &&
            glm::distance(checks.shoot.waypoints[other].at_m, waypoint.at_m) < shortest_line_m)
            checks.refuse_value(ref, "position_m",
                                "is that of the waypoint before; allowed is at least {} m off, or "
                                "hold_s to stay there",
                                shortest_line_m);
    }
    for (const auto& [flight, last] : before)
        for (const std::string_view key : {"speed_m_s", "lit", "aim"})
            if (checks.map.has({"waypoint", last}, key))
                checks.refuse_key({"waypoint", last}, key,
                                  "tells of the leg that begins there, but {} ends there; leave it "
                                  "out",
                                  in_quotes(flight));
}

}  // namespace lampflight
