// Flights as the scene states them: shape, place, pace and what they carry. Time zero is the moment
// the shutter opens; the flight begins then, its lamps are lit while it lasts and dark afterwards.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scene/basics/vector.h"

namespace lampflight {

enum class FlightShape { circle, line, ring, helix };

/// How fast: a lap time, a speed, or the whole flight within one exposure.
enum class Pace { given, shutter };

struct SpeedLimits {
    std::optional<double> speed_m_s;          ///< any without
    std::optional<double> acceleration_m_s2;  ///< along the course and across it, together

    /// Whether the flight begins and ends at rest; without, it has its one speed all along.
    bool given() const { return acceleration_m_s2.has_value(); }
};

struct Flight {
    std::string name;
    FlightShape shape = FlightShape::circle;
    Vec2 centre_m{0.0, 0.0};
    double height_m = 8.0;  ///< of a circle or a helix's start; of a ring's centre
    double radius_m = 5.0;
    double start_bearing_deg = 180.0;  ///< circle, helix: from the centre
    double start_clock_deg = 180.0;    ///< ring: clockwise from its top, seen from its face
    double facing_deg = 180.0;         ///< ring: bearing that its face looks towards
    double tilt_deg = 0.0;             ///< ring: its top leans away from its face by so much
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

}  // namespace lampflight
