// Flight plan: the route that a flight takes, and when it is where on it.
#pragma once

#include <optional>

#include "scene/flights/course.h"
#include "scene/flights/flight.h"
#include "scene/flights/route.h"
#include "scene/flights/speed_profile.h"

namespace lampflight {

/// The fastest on a leg of a drawn shape that states no pace (common practice, no source).
constexpr double drawn_speed_m_s = 2.0;

struct FlightPlan {
    Route route;  ///< run-up included
    SpeedProfile speed;
    double shape_from_m = 0.0;  ///< where on the route the shape itself lies
    double shape_to_m = 0.0;
    double shape_from_s = 0.0;  ///< and when, after the flight's begin
    double shape_to_s = 0.0;
};

/// How long a flight is meant to take, in seconds: as the shutter, by `lap_s`, or a lap of 25 s; of
/// a flight that hovers, the shutter. Nothing where speeds say how fast instead, as they do,
/// without any pace, for a drawn shape. With a run-up it is the shape's time, unless it is the
/// shutter's.
std::optional<double> wanted_duration_s(const Flight& flight, double shutter_s);

/// The shortest time in seconds in which its limits allow a flight, in the sense of
/// `wanted_duration_s`; without limits what its holds and the speeds of its legs take.
double shortest_duration_s(const Flight& flight);

/// Keeps to the limits where that takes longer than wanted.
FlightPlan plan_flight(const Flight& flight, double shutter_s);

/// What holds the fastest flight down for the largest share of its time.
struct SpeedBinding {
    SpeedBound which = SpeedBound::none;
    double value = 0.0;  ///< of the limit, in its own unit; of a leg's speed and a hold the largest
};

/// Of a flight with limits; `none` of others.
SpeedBinding binding_of(const Flight& flight);

}  // namespace lampflight
