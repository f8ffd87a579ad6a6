#include "scene/shoot/flown_flight.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "scene/basics/names.h"

namespace lampflight {
namespace {

// Between two flights, where neither flight nor drone states any. Common practice, no source.
const SpeedLimits way_limits{4.0, 1.5};
constexpr double nowhere_m = 0.01;  ///< not worth a way

double open_s(const FlightPath& path, double shutter_s) {
    return std::clamp(shutter_s - path.begins_s(), 0.0, path.duration_s());
}

/// The drone that a flight names, or the flights that it comes after.
const std::string* drone_name(const Shoot& shoot, const Flight& flight) {
    const Flight* at = &flight;
    for (std::size_t steps = 0; at && steps <= shoot.flights.size(); ++steps) {
        if (at->drone) return &*at->drone;
        at = at->after ? find_named(shoot.flights, *at->after) : nullptr;
    }
    return nullptr;
}

/// From the last place of a path to the first of another; nothing where they are one.
std::optional<FlightPath> way_between(const FlightPath& from, const Flight& to_flight,
                                      const Vec3& to_m) {
    const Vec3 from_m = from.position_m(from.ends_s());
    if (glm::distance(from_m, to_m) < nowhere_m) return std::nullopt;
    Flight way;
    way.shape = FlightShape::waypoints;
    way.path = {Waypoint{from_m}, Waypoint{to_m}};
    way.wind_m_s = to_flight.wind_m_s;
    way.limits = to_flight.limits.given() ? to_flight.limits : way_limits;
    way.speed_m_s = way.limits.speed_m_s.value_or(*way_limits.speed_m_s);
    return FlightPath(way, 0.0, from.ends_s());
}

/// Flies the flights of a take, each after the one that its drone flies before it.
class Crew {
public:
    Crew(const Shoot& shoot, const Take& take)
        : shoot_(shoot), take_(take), shutter_s_(settings_of(shoot, take).shutter_s) {}

    std::vector<FlownFlight> fly() {
        for (std::size_t i = 0; i < take_.flights.size(); ++i) path(i, 0);
        std::vector<FlownFlight> flown;
        for (std::size_t i = 0; i < take_.flights.size(); ++i) {
            const auto found = paths_.find(i);
            if (found == paths_.end()) continue;
            const double flown_s = open_s(found->second, shutter_s_);
            flown.push_back({find_named(shoot_.flights, take_.flights[i]),
                             std::move(found->second), flown_s, nullptr});
        }
        return flown;
    }

private:
    /// Nothing for a flight that is not there, or that comes after itself.
    const FlightPath* path(std::size_t place, std::size_t depth) {
        if (const auto known = paths_.find(place); known != paths_.end()) return &known->second;
        const Flight* flight = find_named(shoot_.flights, take_.flights[place]);
        if (!flight || depth > take_.flights.size()) return nullptr;
        const auto before = flight_before(shoot_, take_, place);
        const FlightPath* first = before ? path(*before, depth + 1) : nullptr;
        return &paths_.emplace(place, first ? after(*first, *flight) : begun(*flight, 0.0))
                    .first->second;
    }

    /// A flight that is ready at a time. What is paced by the shutter fills what is left of it.
    FlightPath begun(const Flight& flight, double ready_s) const {
        const double begins_s = ready_s + flight.start_s;
        const double left_s = begins_s < shutter_s_ ? shutter_s_ - begins_s : shutter_s_;
        return FlightPath(flight, left_s, begins_s);
    }

    /// A run-up's start hangs on the time that is left, and so on the way there.
    FlightPath after(const FlightPath& first, const Flight& flight) const {
        constexpr int most_rounds = 5;
        FlightPath path = begun(flight, first.ends_s());
        for (int round = 0; round < most_rounds; ++round) {
            const auto way = way_between(first, flight, path.position_m(path.begins_s()));
            const double ready_s = way ? way->ends_s() : first.ends_s();
            if (std::abs(ready_s + flight.start_s - path.begins_s()) < 1e-9) break;
            path = begun(flight, ready_s);
        }
        return path;
    }

    const Shoot& shoot_;
    const Take& take_;
    double shutter_s_;
    std::map<std::size_t, FlightPath> paths_;
};

}  // namespace

std::vector<FlownFlight> flown_flights(const Shoot& shoot, const Take& take) {
    return Crew(shoot, take).fly();
}

std::optional<std::size_t> flight_before(const Shoot& shoot, const Take& take, std::size_t place) {
    const Flight* flight = find_named(shoot.flights, take.flights[place]);
    if (!flight) return std::nullopt;
    if (flight->after) {
        const auto found = std::ranges::find(take.flights, *flight->after);
        if (found != take.flights.end())
            return static_cast<std::size_t>(found - take.flights.begin());
    }
    const std::string* drone = drone_name(shoot, *flight);
    if (!drone) return std::nullopt;
    for (std::size_t i = place; i-- > 0;) {
        const Flight* other = find_named(shoot.flights, take.flights[i]);
        const std::string* flown_by = other ? drone_name(shoot, *other) : nullptr;
        if (flown_by && *flown_by == *drone) return i;
    }
    return std::nullopt;
}

std::vector<FlownFlight> flown_ways(const Shoot& shoot, const Take& take,
                                    const std::vector<FlownFlight>& flown) {
    const double shutter_s = settings_of(shoot, take).shutter_s;
    std::vector<FlownFlight> ways;
    for (std::size_t place = 0; place < take.flights.size(); ++place) {
        const auto before = flight_before(shoot, take, place);
        if (!before) continue;
        const auto named = [&](std::size_t at) {
            return std::ranges::find_if(flown, [&](const FlownFlight& one) {
                return one.flight->name == take.flights[at];
            });
        };
        const auto from = named(*before), to = named(place);
        if (from == flown.end() || to == flown.end()) continue;
        auto way = way_between(from->path, *to->flight, to->path.position_m(to->path.begins_s()));
        if (!way) continue;
        const double flown_s = open_s(*way, shutter_s);
        ways.push_back({to->flight, std::move(*way), flown_s, from->flight});
    }
    return ways;
}

double hangs_m(const Shoot& shoot, const Flight& flight) {
    double longest_m = 0.0;
    for (const std::string& name : flight.carries)
        if (const Lamp* lamp = find_named(shoot.lamps, name))
            longest_m = std::max(longest_m, lamp->hang_m);
    return longest_m;
}

const Drone* drone_of(const Shoot& shoot, const Flight& flight) {
    if (const std::string* name = drone_name(shoot, flight)) return find_named(shoot.drones, *name);
    return shoot.drones.size() == 1 ? &shoot.drones.front() : nullptr;
}

}  // namespace lampflight
