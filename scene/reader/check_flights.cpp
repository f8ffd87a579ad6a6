#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/basics/names.h"
#include "scene/basics/wording.h"
#include "scene/flights/flight_path.h"
#include "scene/keys/key_table.h"
#include "scene/reader/check_shoot.h"

namespace lampflight {
namespace {

void check_pace(const Checks& checks, TableRef ref) {
    std::string_view first;
    for (std::string_view key : {"lap_s", "speed_m_s", "pace"}) {
        if (!checks.map.has(ref, key)) continue;
        if (first.empty())
            first = key;
        else
            checks.refuse_key(
                ref, key,
                "stands beside {}; allowed is one of \"lap_s\", \"speed_m_s\" and \"pace\"",
                in_quotes(first));
    }
}

bool is_too_short(double wanted_s, double shortest_s) {
    return wanted_s < shortest_s * (1.0 - 1e-9);
}

/// To a hundredth, so that the time named can be written in the file.
double rounded_up_s(double time_s) {
    return std::ceil(time_s * 100.0) / 100.0;
}

/// "an acceleration of 2 m/s2"; empty where nothing holds it down.
std::string bound_words(const SpeedBinding& binding) {
    const auto words = [&](std::string_view what, std::string_view unit) {
        return fmt::format("{} of {:.3g} {}", what, binding.value, unit);
    };
    switch (binding.which) {
        case SpeedBound::speed:
            return words("a speed", "m/s");
        case SpeedBound::leg_speed:
            return words("its legs' speed", "m/s");
        case SpeedBound::acceleration:
            return words("an acceleration", "m/s2");
        case SpeedBound::turning:
            return words("a turning acceleration", "m/s2");
        case SpeedBound::climb:
            return words("a climb", "m/s");
        case SpeedBound::descent:
            return words("a descent", "m/s");
        case SpeedBound::yaw:
            return words("a yaw rate", "deg/s");
        case SpeedBound::air:
            return words("a speed through the air", "m/s");
        case SpeedBound::hold:
            return "its holds";
        case SpeedBound::none:
            break;
    }
    return "";
}

/// " (mostly bound by an acceleration of 2 m/s2)": what holds the fastest flight down.
std::string binding_words(const Flight& flight) {
    const SpeedBinding binding = binding_of(flight);
    const std::string words = bound_words(binding);
    return words.empty() ? "" : fmt::format(" (mostly bound by {})", words);
}

void check_shutters(const Checks& checks, TableRef ref, const Flight& flight, double shortest_s) {
    const SceneMap& map = checks.map;
    for (std::size_t i = 0; i < checks.shoot.takes.size(); ++i) {
        const Take& take = checks.shoot.takes[i];
        const double shutter_s = settings_of(checks.shoot, take).shutter_s;
        if (contains(take.flights, flight.name) && map.is_sound({"take", i}, "shutter_s") &&
            map.is_sound({"camera", 0}, "shutter_s") && is_too_short(shutter_s, shortest_s))
            checks.refuse_value(
                ref, "pace",
                "gives the flight {} s in {}; within its limits{} {} s is the shortest", shutter_s,
                map.label({"take", i}), binding_words(flight), rounded_up_s(shortest_s));
    }
}

/// Whether a flight has all of its course; what it lacks has been told.
bool has_course(const Checks& checks, TableRef ref, const Flight& flight) {
    if (!checks.map.all_sound(
            ref, {"shape", "height_m", "radius_m", "end_radius_m", "inner_radius_m", "tips",
                  "rise_m", "turns", "from_m", "to_m", "length_m", "width_m", "lane_m",
                  "corner_radius_m"}))
        return false;
    if (flight.shape == FlightShape::line) return flight.from_m && flight.to_m;
    if (flight.shape == FlightShape::waypoints || flight.shape == FlightShape::figure)
        return flight.path.size() > 1;
    return true;
}

/// That a speed asked for is reached somewhere.
void check_speed(const Checks& checks, TableRef ref, const Flight& flight) {
    const double top_m_s = FlightPath(flight, 0.0).top_speed_m_s();
    if (top_m_s >= (1.0 - 1e-3) * *flight.speed_m_s) return;
    checks.refuse_value(ref, "speed_m_s", "is {}; within its limits{} it comes to {:.2f} m/s",
                        *flight.speed_m_s, binding_words(flight), top_m_s);
}

/// That it can stand, and so get on, in the wind. The limit may be its drone's.
bool check_wind(const Checks& checks, TableRef ref, const Flight& flight) {
    const double wind_m_s = glm::length(flight.wind_m_s);
    if (!flight.limits.air_m_s || wind_m_s < *flight.limits.air_m_s) return true;
    const std::string what = fmt::format(
        "goes at {:.4g} m/s through the air at the most, and a wind of {:.4g} m/s carries it off; "
        "allowed is a limits.air_m_s above air.wind_m_s",
        *flight.limits.air_m_s, wind_m_s);
    if (checks.map.has(ref, "limits.air_m_s"))
        checks.add(checks.map.key(ref, "limits.air_m_s"), "{} {}", checks.map.label(ref), what);
    else
        checks.add(checks.map.table(ref), "{} {}", checks.map.label(ref), what);
    return false;
}

void check_limits(const Checks& checks, TableRef ref, const Flight& flight) {
    const SceneMap& map = checks.map;
    if (!flight.limits.given())
        check_limits_table(checks, ref);
    const bool one_pace =
        map.has(ref, "lap_s") + map.has(ref, "speed_m_s") + map.has(ref, "pace") <= 1;
    if (!flight.limits.given() || !has_course(checks, ref, flight) || !one_pace ||
        !map.all_sound(ref, {"lap_s", "speed_m_s", "pace", "run_up", "limits.speed_m_s",
                             "limits.acceleration_m_s2", "limits.turning_m_s2", "limits.climb_m_s",
                             "limits.descent_m_s", "limits.yaw_deg_s", "limits.air_m_s"}) ||
        !map.all_sound({"air", 0}, {"wind_m_s", "wind_from_deg"}))
        return;
    if (!check_wind(checks, ref, flight)) return;
    if (flight.shape == FlightShape::hover) return;
    const double shortest_s = shortest_duration_s(flight);
    if (flight.pace == Pace::shutter) return check_shutters(checks, ref, flight, shortest_s);
    if (flight.speed_m_s) return check_speed(checks, ref, flight);
    const std::optional<double> wanted_s = wanted_duration_s(flight, 0.0);
    if (!wanted_s || !is_too_short(*wanted_s, shortest_s)) return;
    const double turns = turns_of(flight);
    const std::string least = fmt::format("within its limits{} {} s is the shortest",
                                          binding_words(flight), rounded_up_s(shortest_s / turns));
    if (flight.lap_s)
        checks.refuse_value(ref, "lap_s", "is {}; {}", *flight.lap_s, least);
    else
        checks.add(map.key(ref, "limits.acceleration_m_s2"),
                   "{} has no pace and takes {} s a lap; {}", map.label(ref), *wanted_s / turns,
                   least);
}

void check_carried(const Checks& checks, TableRef ref, const Flight& flight) {
    for (std::size_t i = 0; i < flight.carries.size(); ++i) {
        const Lamp* lamp = find_named(checks.shoot.lamps, flight.carries[i]);
        if (lamp && lamp->position_m)
            checks.add(
                checks.map.item(ref, "carries", i),
                "{} names {}, which has a position_m and stands; allowed is a lamp without one",
                checks.map.label(ref, "carries"), in_quotes(lamp->name));
    }
}

void check_line(const Checks& checks, TableRef ref, const Flight& flight) {
    for (const auto& [key, end] :
         {std::pair{"from_m", flight.from_m}, std::pair{"to_m", flight.to_m}})
        if (end && end->z <= 0.0)
            checks.refuse_value(ref, key, "is {} m up; allowed is above 0 m", end->z);
    if (flight.from_m && flight.to_m &&
        glm::distance(*flight.from_m, *flight.to_m) < shortest_line_m)
        checks.refuse_value(ref, "to_m", "is where the line starts; allowed is at least {} m off",
                            shortest_line_m);
}

std::string_view shape_word(const Flight& flight) {
    return words_of<FlightShape>.at(static_cast<std::size_t>(flight.shape));
}

void check_nose(const Checks& checks, TableRef ref, const Flight& flight) {
    if (!checks.map.has(ref, "nose_deg") || flight.nose == Nose::kept ||
        !checks.map.is_sound(ref, "nose"))
        return;
    checks.refuse_key(ref, "nose_deg",
                      "means nothing with nose = {}; leave it out, or choose nose = {}",
                      in_quotes(words_of<Nose>.at(static_cast<std::size_t>(flight.nose))),
                      in_quotes(words_of<Nose>.at(static_cast<std::size_t>(Nose::kept))));
}

double lowest_m(const Flight& flight) {
    double low_m = flight.height_m;
    if (flight.shape == FlightShape::ring || flight.shape == FlightShape::star)
        low_m -= flight.radius_m * std::cos(radians(flight.tilt_deg));
    if (flight.shape == FlightShape::helix || flight.shape == FlightShape::spiral)
        low_m += std::min(0.0, flight.rise_m);
    for (const Waypoint& waypoint : flight.path) low_m = std::min(low_m, waypoint.at_m.z);
    return low_m;
}

void check_height(const Checks& checks, TableRef ref, const Flight& flight) {
    if (flight.shape == FlightShape::line) return check_line(checks, ref, flight);
    if (flight.shape == FlightShape::waypoints) return;
    const double low_m = lowest_m(flight);
    if (checks.map.all_sound(ref, {"shape", "height_m", "radius_m", "tilt_deg", "rise_m"}) &&
        low_m <= 0.0)
        checks.refuse_value(ref, "height_m",
                            "is {}, which takes the {} down to {:.3g} m; allowed is all of it "
                            "above 0 m",
                            flight.height_m, shape_word(flight), low_m);
}

}  // namespace

void check_flights(const Checks& checks) {
    for (std::size_t i = 0; i < checks.shoot.flights.size(); ++i) {
        const TableRef ref{"flight", i};
        const Flight& flight = checks.shoot.flights[i];
        check_pace(checks, ref);
        check_limits(checks, ref, flight);
        check_carried(checks, ref, flight);
        check_height(checks, ref, flight);
        check_nose(checks, ref, flight);
        check_course(checks, ref, flight);
        check_order(checks, ref, flight);
        check_wander(checks, ref, flight);
    }
    check_waypoints(checks);
    check_stretches(checks);
    check_drones(checks);
}

}  // namespace lampflight
