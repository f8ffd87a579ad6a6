// Flights: what the pilot flies, and the path that the renderer sees. Time zero is the moment the
// shutter opens; the flight begins then, its lamps are lit while it lasts and dark afterwards.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "scene/basics/vector.h"
#include "scene/flights/speed_profile.h"

namespace lampflight {

enum class FlightShape { circle, line, ring, helix };

/// How fast: a lap time, a speed, or the whole flight within one exposure.
enum class Pace { given, shutter };

struct Flight {
    std::string name;
    FlightShape shape = FlightShape::circle;
    Vec2 centre_m{0.0, 0.0};
    double height_m = 8.0;  ///< of a circle or a helix's start; of a ring's centre
    double radius_m = 5.0;
    double start_bearing_deg = 180.0;  ///< circle, helix: from the centre
    double start_clock_deg = 180.0;    ///< ring: clockwise from its top, seen from its face
    double facing_deg = 180.0;         ///< ring: bearing that its face looks towards
    double rise_m = 4.0;               ///< helix: climb over the whole flight
    double turns = 1.0;
    bool clockwise = true;        ///< seen from above, or from the ring's face
    std::optional<Vec3> from_m;   ///< line
    std::optional<Vec3> to_m;     ///< line
    std::optional<double> lap_s;  ///< one turn; for a line, the whole of it
    std::optional<double> speed_m_s;
    Pace pace = Pace::given;
    SpeedLimits limits;  ///< from rest to rest within them; one speed all along without
    std::vector<std::string> carries;
};

/// True for shapes that come back on themselves, where a gap or an overlap can be spoken of.
bool closes(FlightShape shape);

/// How long a flight is meant to take, in seconds: as the shutter, by `lap_s`, or a lap of 15 s;
/// nothing where `speed_m_s` says how fast instead.
std::optional<double> wanted_duration_s(const Flight& flight, double shutter_s);

/// The shortest time in seconds in which its limits allow a flight; 0 without limits.
double shortest_duration_s(const Flight& flight);

/// A flight at its pace: position along a curve, inverted by arc length.
class FlightPath {
public:
    /// `shutter_s` sets the duration of a flight paced by the shutter. Otherwise `lap_s` does, else
    /// `speed_m_s`, else a lap of 15 s. Where limits do not allow that, the flight lasts longer.
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

    /// Of the figure: a circle's at its height, a helix's halfway up, a line's middle.
    Vec3 centre_m() const;

private:
    double parameter_at(double arc_m) const;

    std::function<Vec3(double)> curve_;  ///< [0, 1], and a little beyond, to world metres
    std::vector<double> arc_m_;          ///< arc length at evenly spaced parameters
    Vec3 figure_centre_m_{};
    double turns_ = 1.0;
    SpeedProfile speed_;
};

}  // namespace lampflight
