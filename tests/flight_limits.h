// Flights made up at random, and by how much they exceed what their drone can do.
#pragma once

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <random>

#include "scene/basics/angle.h"
#include "scene/flights/flight_path.h"

namespace lampflight::testing {

class RandomFlights {
public:
    explicit RandomFlights(unsigned seed) : random_(seed) {}

    double between(double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(random_);
    }
    double between_decades(double low, double high) {
        return std::exp(between(std::log(low), std::log(high)));
    }
    bool one_in(int count) { return std::uniform_int_distribution<int>(1, count)(random_) == 1; }

    Flight flight() {
        Flight flight;
        flight.shape = static_cast<FlightShape>(std::uniform_int_distribution<int>(0, 9)(random_));
        if (one_in(2)) flight.shape = FlightShape::waypoints;
        flight.centre_m = {between(-5.0, 5.0), between(-5.0, 5.0)};
        flight.height_m = 30.0;
        flight.radius_m = between_decades(0.3, 30.0);
        flight.end_radius_m = between_decades(0.1, 30.0);
        flight.turns = between(0.1, 3.0);
        flight.rise_m = one_in(3) ? 0.0 : between(-10.0, 10.0);
        flight.tilt_deg = one_in(2) ? 0.0 : between(-80.0, 80.0);
        flight.facing_deg = between(0.0, 360.0);
        flight.start_bearing_deg = between(0.0, 360.0);
        flight.start_clock_deg = between(0.0, 360.0);
        flight.clockwise = one_in(2);
        flight.from_m = point();
        flight.to_m = point();
        flight.tips = std::uniform_int_distribution<int>(3, 9)(random_);
        if (flight.shape == FlightShape::waypoints || flight.shape == FlightShape::figure)
            flight.path = vertices();
        if (one_in(3)) flight.corner_radius_m = one_in(4) ? 0.0 : between_decades(0.05, 10.0);
        flight.limits = limits();
        flight.run_up = one_in(3);
        flight.nose = static_cast<Nose>(std::uniform_int_distribution<int>(0, 2)(random_));
        pace(flight);
        return flight;
    }

private:
    Vec3 point() {
        return {between(-20.0, 20.0), between(-20.0, 20.0), one_in(3) ? 12.0 : between(2.0, 30.0)};
    }

    Waypoints vertices() {
        Waypoints path;
        const int count = std::uniform_int_distribution<int>(2, 40)(random_);
        for (int i = 0; i < count; ++i) {
            Waypoint vertex;
            vertex.at_m = point();
            if (i > 1 && one_in(8)) vertex.at_m = path[path.size() - 1].at_m;
            if (i > 1 && one_in(12)) vertex.at_m = path[path.size() - 2].at_m;
            if (i > 1 && one_in(12))  // straight on
                vertex.at_m = 2.0 * path[path.size() - 1].at_m - path[path.size() - 2].at_m;
            if (i > 0 && one_in(12))  // straight up or down
                vertex.at_m = path.back().at_m + Vec3(0.0, 0.0, between(-1.0, 9.0));
            vertex.through = one_in(4);
            if (one_in(8)) vertex.hold_s = between(0.1, 5.0);
            if (one_in(4)) vertex.corner_radius_m = one_in(3) ? 0.0 : between_decades(0.01, 20.0);
            if (one_in(4)) vertex.speed_m_s = between_decades(0.2, 20.0);
            vertex.lit = !one_in(4);
            path.push_back(vertex);
        }
        return path;
    }

    SpeedLimits limits() {
        SpeedLimits limits;
        limits.acceleration_m_s2 = between_decades(0.2, 10.0);
        if (!one_in(3)) limits.speed_m_s = between_decades(0.5, 20.0);
        if (one_in(3)) limits.turning_m_s2 = between_decades(0.1, 10.0);
        if (one_in(2)) limits.climb_m_s = between_decades(0.3, 8.0);
        if (one_in(2)) limits.descent_m_s = between_decades(0.3, 8.0);
        if (one_in(2)) limits.yaw_deg_s = between_decades(10.0, 200.0);
        return limits;
    }

    void pace(Flight& flight) {
        if (one_in(4)) flight.pace = Pace::shutter;
        if (flight.pace == Pace::given && one_in(3)) flight.speed_m_s = between_decades(0.3, 20.0);
        if (flight.shape == FlightShape::hover)
            flight.lap_s = between(1.0, 30.0);
        else if (flight.pace == Pace::given && !flight.speed_m_s && one_in(2))
            flight.lap_s = between(1.0, 3.0) * shortest_duration_s(flight) / turns_of(flight);
    }

    std::mt19937 random_;
};

/// The largest of what is measured, over what is allowed, less 1.
struct Excess {
    double at_nodes = -1.0;  ///< speed and acceleration
    double speed = -1.0;
    double acceleration = -1.0;
    double difference = -1.0;  ///< acceleration from differences of velocity
    double turning = -1.0;
    double climb = -1.0;
    double yaw = -1.0;
    double velocity = -1.0;  ///< against differences of position, over what acceleration explains
    double arc_m = 0.0;      ///< from a time to the way and back

    static void note(double& most, double measured, double allowed) {
        most = std::max(most, measured / allowed - 1.0);
        if (!std::isfinite(measured)) most = 1e9;
    }
};

/// What a leg allows at a way, of a path's own legs.
inline double leg_speed_m_s(const Route& route, double arc_m) {
    double most = 1e9;
    double from_m = 0.0;
    for (const RouteLeg& leg : route.legs()) {
        if (leg.speed_m_s && arc_m > from_m + 1e-6 && arc_m < leg.to_m - 1e-6)
            most = *leg.speed_m_s;
        from_m = leg.to_m;
    }
    return most;
}

inline void measure_nodes(const FlightPlan& plan, const SpeedLimits& limits, Excess& excess) {
    const SpeedProfile& speed = plan.speed;
    for (std::size_t i = 1; i < speed.arc_m.size(); ++i) {
        const double way_m = speed.arc_m[i] - speed.arc_m[i - 1];
        if (way_m <= 0.0) continue;
        const double lasts_s = speed.time_s[i] - speed.time_s[i - 1];
        const double along = (speed.speed_m_s[i] - speed.speed_m_s[i - 1]) / lasts_s;
        for (const std::size_t end : {i - 1, i}) {
            const double v = speed.speed_m_s[end];
            const double inside_m = speed.arc_m[end] + (end == i ? -1e-3 : 1e-3) * way_m;
            const double across = v * v * glm::length(plan.route.bend(inside_m));
            // The differences of times and ways round by so much.
            const double rounding = 4e-16 * (speed.time_s[i] / lasts_s + speed.arc_m[i] / way_m);
            const double allowed =
                *limits.acceleration_m_s2 * (1.0 + 8.0 * rounding) + 4e-16 * v / lasts_s;
            Excess::note(excess.at_nodes, std::hypot(along, across), allowed);
            if (limits.speed_m_s) Excess::note(excess.at_nodes, v, *limits.speed_m_s);
            if (limits.turning_m_s2) Excess::note(excess.turning, across, *limits.turning_m_s2);
        }
    }
}

/// Measured on what the path tells at `count` times, and a little after each.
inline Excess excess_of(const Flight& flight, double shutter_s, double begins_s, int count) {
    const FlightPlan plan = plan_flight(flight, shutter_s);
    const FlightPath path(flight, shutter_s, begins_s);
    const SpeedLimits& limits = flight.limits;
    const double most_m_s2 = *limits.acceleration_m_s2;
    Excess excess;
    REQUIRE(std::isfinite(path.duration_s()));
    REQUIRE(path.duration_s() > 0.0);
    measure_nodes(plan, limits, excess);
    constexpr double step_s = 1e-3;
    for (int i = 0; i <= count; ++i) {
        const double time_s = begins_s + path.duration_s() * (i + 0.37) / (count + 0.74);
        const Vec3 velocity = path.velocity_m_s(time_s);
        const double speed_m_s = glm::length(velocity);
        const double arc_m = path.flown_m(time_s);
        if (limits.speed_m_s) Excess::note(excess.speed, speed_m_s, *limits.speed_m_s);
        Excess::note(excess.speed, speed_m_s, leg_speed_m_s(plan.route, arc_m));
        const Vec3 acceleration = path.acceleration_m_s2(time_s);
        Excess::note(excess.acceleration, glm::length(acceleration), most_m_s2);
        if (limits.turning_m_s2 && speed_m_s > 0.0)
            Excess::note(excess.turning,
                         glm::length(glm::cross(acceleration, velocity)) / speed_m_s,
                         *limits.turning_m_s2);
        // Pieces meet within a hundred millionth of a metre, and of a radian a tenth of that.
        const Vec3 later = path.velocity_m_s(time_s + step_s);
        Excess::note(excess.difference, glm::distance(later, velocity),
                     most_m_s2 * step_s + 2e-9 * speed_m_s);
        const Vec3 moved = path.position_m(time_s + step_s) - path.position_m(time_s - step_s);
        Excess::note(excess.velocity, glm::distance(moved / (2.0 * step_s), velocity),
                     most_m_s2 * step_s + 2e-5);
        if (limits.climb_m_s) Excess::note(excess.climb, velocity.z, *limits.climb_m_s);
        if (limits.descent_m_s) Excess::note(excess.climb, -velocity.z, *limits.descent_m_s);
        if (limits.yaw_deg_s) {
            const double turned =
                std::abs(turn_between(path.nose_rad(time_s), path.nose_rad(time_s + step_s)));
            Excess::note(excess.yaw, turned, radians(*limits.yaw_deg_s) * step_s + 1e-6);
        }
        const double back_m = path.flown_m(path.time_at_s(arc_m));
        excess.arc_m = std::max(excess.arc_m, std::abs(back_m - arc_m));
    }
    return excess;
}

inline void check_random_flights(unsigned seed, int flights, int times) {
    RandomFlights random(seed);
    for (int i = 0; i < flights; ++i) {
        const Flight flight = random.flight();
        const double shortest_s = shortest_duration_s(flight);
        const double shutter_s = shortest_s * random.between(1.0, 3.0) + 0.01;

        CAPTURE(i);
        CAPTURE(static_cast<int>(flight.shape));
        const Excess excess = excess_of(flight, shutter_s, random.between(-9.0, 9.0), times);
        CHECK(excess.at_nodes <= 1e-6);
        CHECK(excess.speed <= 1e-6);
        CHECK(excess.acceleration <= 1e-3);
        CHECK(excess.difference <= 1e-3);
        CHECK(excess.turning <= 1e-3);
        CHECK(excess.climb <= 1e-3);
        CHECK(excess.yaw <= 1e-3);
        CHECK(excess.velocity <= 1e-3);
        CHECK(excess.arc_m <= 1e-6);
        if (const auto wanted_s = wanted_duration_s(flight, shutter_s)) {
            const FlightPath path(flight, shutter_s);
            const double lasts_s =
                flight.pace == Pace::shutter ? path.duration_s() : path.lap_s() * turns_of(flight);
            CHECK(std::abs(lasts_s - std::max(*wanted_s, shortest_s)) <= 1e-9 * lasts_s);
        }
    }
}

}  // namespace lampflight::testing
