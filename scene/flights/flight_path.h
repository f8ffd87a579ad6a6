// Arc-length parameterisation of a flight, at its pace.
#pragma once

#include <optional>
#include <vector>

#include "scene/flights/flight_shapes.h"
#include "scene/flights/speed_profile.h"

namespace lampflight {

/// How long a flight is meant to take, in seconds: as the shutter, by `lap_s`, or a lap of 25 s;
/// nothing where `speed_m_s` says how fast instead.
std::optional<double> wanted_duration_s(const Flight& flight, double shutter_s);

/// The shortest time in seconds in which its limits allow a flight; 0 without limits.
double shortest_duration_s(const Flight& flight);

/// A flight at its pace: position along a curve, inverted by arc length.
class FlightPath {
public:
    /// `shutter_s` sets the duration of a flight paced by the shutter. Otherwise `lap_s` does, else
    /// `speed_m_s`, else a lap of 25 s. Where limits do not allow that, the flight lasts longer.
    FlightPath(const Flight& flight, double shutter_s);

    double length_m() const;    ///< of the whole flight
    double duration_s() const;  ///< of the whole flight
    double lap_s() const;       ///< one turn; for a line the whole flight
    double speed_m_s() const;   ///< mean over the flight
    double top_speed_m_s() const;
    double top_acceleration_m_s2() const;  ///< the largest along the path

    double flown_m(double time_s) const;      ///< way behind the drone
    double flown_turns(double time_s) const;  ///< the same in turns; of a line, in its whole

    /// World position and velocity at a time, clamped to the flight's beginning and end.
    Vec3 position_m(double time_s) const;
    Vec3 velocity_m_s(double time_s) const;
    Vec3 direction(double time_s) const;  ///< unit, of the velocity, at rest too; 0 for no length
    double heading_rad(double time_s) const;  ///< bearing of it; 0 when it climbs straight

    Vec3 centre_m() const;  ///< of the figure

private:
    double parameter_at(double arc_m) const;

    Curve curve_;
    std::vector<double> arc_m_;  ///< arc length at evenly spaced parameters
    Vec3 figure_centre_m_{};
    double turns_ = 1.0;
    SpeedProfile speed_;
};

}  // namespace lampflight
