#include "scene/flights/flight_plan.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "scene/flights/flight_shapes.h"
#include "scene/flights/nose.h"

namespace lampflight {
namespace {

constexpr double default_lap_s = 25.0;
constexpr double infinity = std::numeric_limits<double>::infinity();

bool runs_up(const Flight& flight) {
    return flight.run_up && flight.limits.given();
}

/// The route, cut where the nose would have to turn at once, if that takes time.
Route cut_route(Route route, const Flight& flight) {
    const bool turns =
        flight.nose != Nose::kept && flight.limits.given() && flight.limits.yaw_deg_s;
    if (turns) return cut_for_nose(route, flight, centre_of(flight));
    return route;
}

/// The way from rest to a speed, or a little more.
double ramp_m(double speed_m_s, double acceleration_m_s2, double bend) {
    const double square = speed_m_s * speed_m_s;
    const double across = std::min(square * bend / acceleration_m_s2, 1.0);
    if (across < 1e-9) return square / (2.0 * acceleration_m_s2);
    return (1.02 * std::asin(across) + 0.1) / (2.0 * bend);
}

/// The way before the shape or after it, and how it is flown.
struct Ramp {
    Route route{};
    SpeedProfile speed{};
};

Ramp ramp_of(const Flight& flight, const Route& route, double speed_m_s, bool before) {
    Ramp ramp;
    if (speed_m_s <= 0.0 || route.length_m() <= 0.0) return ramp;
    const double bend = glm::length(route.bend(before ? 0.0 : route.length_m()));
    double length_m = ramp_m(speed_m_s, *flight.limits.acceleration_m_s2, bend);
    for (int i = 0; i < 8; ++i, length_m *= 1.25) {
        const RoutePiece piece =
            before ? piece_before(route, length_m) : piece_after(route, length_m);
        ramp.route = cut_route(Route({piece}), flight);
        const Course course = course_of(ramp.route, flight, speed_m_s);
        const EndSpeeds ends{before ? 0.0 : speed_m_s, before ? speed_m_s : 0.0};
        ramp.speed = limited_speed(course, flight.limits, speed_m_s, ends);
        double& reached = before ? ramp.speed.speed_m_s.back() : ramp.speed.speed_m_s.front();
        if (reached >= speed_m_s * (1.0 - 1e-9)) {
            reached = speed_m_s;
            break;
        }
    }
    return ramp;
}

/// A shape with its run-up, flown at a cruise.
struct Flown {
    Ramp before{};
    SpeedProfile shape{};
    Ramp after{};

    double duration_s(bool whole) const {
        const double ramps_s = before.speed.duration_s() + after.speed.duration_s();
        return shape.duration_s() + (whole ? ramps_s : 0.0);
    }
};

class Planner {
public:
    Planner(const Flight& flight, double otherwise_m_s)
        : flight_(flight),
          route_(cut_route(route_of(flight), flight)),
          course_(course_of(route_, flight, otherwise_m_s)) {}

    const Route& route() const { return route_; }
    Route take_route() && { return std::move(route_); }
    const Course& course() const { return course_; }

    double fastest_m_s() const {
        return flight_.limits.given() ? most_cruise_m_s(course_, flight_.limits, ends()) : infinity;
    }
    EndSpeeds ends() const { return runs_up(flight_) ? EndSpeeds::free() : EndSpeeds{}; }

    Flown at_cruise(double cruise_m_s) {
        Flown flown;
        if (!flight_.limits.given()) {
            flown.shape = even_speed(course_, cruise_m_s);
            return flown;
        }
        flown.shape = limited_speed(course_, flight_.limits, cruise_m_s, ends(), room_);
        if (!runs_up(flight_)) return flown;
        const double first_m_s = flown.shape.speed_m_s.front();
        const double last_m_s = flown.shape.speed_m_s.back();
        flown.before = ramp_of(flight_, route_, first_m_s, true);
        flown.after = ramp_of(flight_, route_, last_m_s, false);
        // What the run-up does not reach, the shape does not begin with.
        const EndSpeeds reached{flown.before.speed.speed_m_s.back(),
                                flown.after.speed.speed_m_s.front()};
        if (reached.first_m_s < first_m_s || reached.last_m_s < last_m_s)
            flown.shape = limited_speed(course_, flight_.limits, cruise_m_s, reached, room_);
        return flown;
    }

    /// The cruise for a time, of the shape or of the whole.
    double cruise_for(double wanted_s, bool whole) {
        const double moving_s = wanted_s - course_.held_s();
        if (moving_s <= 0.0) return flight_.limits.given() ? fastest_m_s() : drawn_speed_m_s;
        const auto duration_of = [&](double cruise_m_s) {
            if (flight_.limits.given() && !runs_up(flight_))
                return limited_duration_s(course_, flight_.limits, cruise_m_s, ends(), room_);
            return at_cruise(cruise_m_s).duration_s(whole);
        };
        return cruise_of_duration(duration_of, route_.length_m() / moving_s, fastest_m_s(),
                                  wanted_s);
    }

private:
    const Flight& flight_;
    Route route_;
    Course course_;
    PhaseRoom room_;
};

/// The parts in a row; lasts as long as wanted unless that is too short.
FlightPlan joined(Planner planner, Flown flown, std::optional<double> wanted_s, bool whole) {
    FlightPlan plan;
    if (wanted_s && !whole && flown.shape.duration_s() < *wanted_s * (1.0 + 1e-9))
        stretch_to(flown.shape, *wanted_s);
    const bool before = flown.before.route.length_m() > 0.0;
    const bool after = flown.after.route.length_m() > 0.0;
    plan.route = std::move(planner).take_route();
    if (before || after) plan.route = extended(plan.route, flown.before.route, flown.after.route);
    plan.speed = std::move(before ? flown.before.speed : flown.shape);
    const std::size_t first = before ? plan.speed.time_s.size() : 0;
    if (before) plan.speed.append(flown.shape);
    const std::size_t last = plan.speed.time_s.size() - 1;
    if (after) plan.speed.append(flown.after.speed);
    if (wanted_s && whole && plan.speed.duration_s() < *wanted_s * (1.0 + 1e-9))
        stretch_to(plan.speed, *wanted_s);
    plan.shape_from_m = plan.speed.arc_m[first];
    plan.shape_to_m = plan.speed.arc_m[last];
    plan.shape_from_s = plan.speed.time_s[first];
    plan.shape_to_s = plan.speed.time_s[last];
    return plan;
}

/// Stays at a point.
FlightPlan standing(const Planner& planner, double wanted_s) {
    FlightPlan plan;
    plan.route = planner.route();
    plan.shape_to_s = std::max(wanted_s, planner.course().held_s());
    plan.speed.add(0.0, plan.shape_to_s, 0.0);
    return plan;
}

Flight fastest_of(const Flight& flight) {
    Flight fastest = flight;
    fastest.lap_s.reset();
    fastest.speed_m_s = infinity;
    return fastest;
}

double value_of(SpeedBound which, const Flight& flight) {
    const SpeedLimits& limits = flight.limits;
    double value = 0.0;
    switch (which) {
        case SpeedBound::speed:
            return limits.speed_m_s.value_or(0.0);
        case SpeedBound::acceleration:
            return limits.acceleration_m_s2.value_or(0.0);
        case SpeedBound::turning:
            return limits.turning_m_s2.value_or(0.0);
        case SpeedBound::climb:
            return limits.climb_m_s.value_or(0.0);
        case SpeedBound::descent:
            return limits.descent_m_s.value_or(0.0);
        case SpeedBound::yaw:
            return limits.yaw_deg_s.value_or(0.0);
        case SpeedBound::air:
            return limits.air_m_s.value_or(0.0);
        case SpeedBound::leg_speed:
            for (const Waypoint& vertex : flight.path)
                value = std::max(value, vertex.speed_m_s.value_or(0.0));
            return value;
        case SpeedBound::hold:
            for (const Waypoint& vertex : flight.path) value = std::max(value, vertex.hold_s);
            return value;
        case SpeedBound::none:
            break;
    }
    return value;
}

/// What holds a step between two nodes down.
SpeedBound bound_of(const Course& course, const SpeedLimits& limits, const PhaseNode& from,
                    const PhaseNode& to) {
    const double faster = std::max(from.square, to.square);
    if (std::abs(to.square - from.square) > 1e-9 * faster) return SpeedBound::acceleration;
    const double speed_m_s = std::sqrt(faster) * (1.0 + 1e-9);
    if (limits.speed_m_s && speed_m_s >= *limits.speed_m_s) return SpeedBound::speed;
    return speed_m_s >= course.most_m_s[to.cell] ? course.bound[to.cell] : SpeedBound::acceleration;
}

}  // namespace

std::optional<double> wanted_duration_s(const Flight& flight, double shutter_s) {
    if (flight.pace == Pace::shutter) return shutter_s;
    if (flight.lap_s) return *flight.lap_s * turns_of(flight);
    if (flight.shape == FlightShape::hover) return shutter_s;
    if (flight.speed_m_s && *flight.speed_m_s > 0.0) return std::nullopt;
    if (is_drawn(flight.shape)) return std::nullopt;
    return default_lap_s * turns_of(flight);
}

double shortest_duration_s(const Flight& flight) {
    const Flight fastest = fastest_of(flight);
    Planner planner(fastest, infinity);
    if (planner.route().length_m() <= 0.0) return planner.course().held_s();
    const bool whole = flight.pace == Pace::shutter;
    return planner.at_cruise(planner.fastest_m_s()).duration_s(whole);
}

FlightPlan plan_flight(const Flight& flight, double shutter_s) {
    const std::optional<double> wanted_s = wanted_duration_s(flight, shutter_s);
    const bool whole = flight.pace == Pace::shutter;
    const double otherwise_m_s =
        wanted_s
            ? infinity
            : (flight.speed_m_s && *flight.speed_m_s > 0.0 ? *flight.speed_m_s : drawn_speed_m_s);
    Planner planner(flight, otherwise_m_s);
    if (planner.route().length_m() <= 0.0) return standing(planner, wanted_s.value_or(0.0));
    const double cruise_m_s =
        wanted_s ? planner.cruise_for(*wanted_s, whole) : planner.fastest_m_s();
    Flown flown = planner.at_cruise(cruise_m_s);
    return joined(std::move(planner), std::move(flown), wanted_s, whole);
}

SpeedBinding binding_of(const Flight& flight) {
    if (!flight.limits.given()) return {};
    const Flight fastest = fastest_of(flight);
    const Planner planner(fastest, infinity);
    const Course& course = planner.course();
    std::vector<double> lasts_s(static_cast<std::size_t>(SpeedBound::hold) + 1, 0.0);
    const auto spent = [&](SpeedBound which) -> double& {
        return lasts_s[static_cast<std::size_t>(which)];
    };
    for (const CourseStop& stop : course.stops) spent(stop.held_by) += stop.hold_s;
    if (course.length_m() > 0.0) {
        PhaseRoom room;
        const std::vector<PhaseNode>& nodes = phase_plane(
            course, *flight.limits.acceleration_m_s2, planner.fastest_m_s(), planner.ends(), room);
        for (std::size_t i = 1; i < nodes.size(); ++i) {
            const double sum = std::sqrt(nodes[i - 1].square) + std::sqrt(nodes[i].square);
            if (sum > 0.0)
                spent(bound_of(course, flight.limits, nodes[i - 1], nodes[i])) +=
                    2.0 * (nodes[i].arc_m - nodes[i - 1].arc_m) / sum;
        }
    }
    const auto most = std::max_element(lasts_s.begin(), lasts_s.end());
    if (*most <= 0.0) return {};
    const auto which = static_cast<SpeedBound>(most - lasts_s.begin());
    return {which, value_of(which, flight)};
}

}  // namespace lampflight
