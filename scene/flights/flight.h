// Flights as the scene states them: shape, place, pace and what they carry. Time zero is the moment
// the shutter opens. A flight's lamps are lit while it lasts and dark afterwards.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scene/basics/vector.h"
#include "scene/flights/waypoint.h"

namespace lampflight {

enum class FlightShape {
    circle,
    line,
    ring,
    helix,
    spiral,
    star,
    sweep,
    hover,
    waypoints,
    figure
};

/// How fast: a lap time, a speed, or the whole flight within one exposure.
enum class Pace { given, shutter };

/// Where the drone's nose points: one bearing all the while, along the course, or to the centre.
enum class Nose { kept, ahead, centre };

/// What a drone can do; nothing binds where nothing is stated.
struct SpeedLimits {
    std::optional<double> speed_m_s{};
    std::optional<double> acceleration_m_s2{};  ///< along the course and across it, together
    std::optional<double> turning_m_s2{};       ///< across the course
    std::optional<double> climb_m_s{};
    std::optional<double> descent_m_s{};
    std::optional<double> yaw_deg_s{};  ///< how fast the nose turns
    std::optional<double> air_m_s{};    ///< through the air, of which the wind takes its part

    /// Whether the flight begins and ends at rest; without, it has its one speed all along.
    bool given() const { return acceleration_m_s2.has_value(); }
};

struct Flight {
    std::string name;
    FlightShape shape = FlightShape::circle;
    Vec2 centre_m{0.0, 0.0};
    double height_m = 8.0;  ///< of a circle or a helix's start; of the centre of what stands up
    double radius_m = 5.0;  ///< of a spiral where it starts; of a star's tips
    double start_bearing_deg = 180.0;  ///< circle, helix, spiral: from the centre
    double start_clock_deg = 180.0;    ///< ring: clockwise from its top, seen from its face
    std::optional<double> facing_deg;  ///< ring, star, figure: bearing that its face looks towards
    double tilt_deg = 0.0;      ///< ring, star, figure: its top leans away from its face by so much
    double rise_m = 4.0;        ///< helix, spiral: climb over the whole flight
    double end_radius_m = 0.5;  ///< spiral: where it ends
    double turns = 1.0;
    bool clockwise = true;       ///< seen from above, or from the face
    std::optional<Vec3> from_m;  ///< line
    std::optional<Vec3> to_m;    ///< line

    int tips = 5;                           ///< star
    std::optional<double> inner_radius_m;   ///< star: of the corners between its tips
    double length_m = 20.0;                 ///< sweep: of a lane
    double width_m = 10.0;                  ///< figure: across; sweep: all its lanes together
    double lane_m = 4.0;                    ///< sweep: from lane to lane
    double bearing_deg = 0.0;               ///< sweep: of its first lane
    std::optional<std::string> waypoints;   ///< file of them
    std::optional<std::string> track;       ///< which of that file's paths; the only one without
    std::optional<std::string> figure;      ///< SVG file
    bool mirrored = false;                  ///< figure: as seen by the camera
    bool shortest_way = false;              ///< figure: strokes in the order of the shortest dark way
    std::optional<double> corner_radius_m;  ///< of all corners of a drawn path; 0 stops in each

    std::optional<double> lap_s;  ///< one turn; for other shapes, the whole of it
    std::optional<double> speed_m_s;
    Pace pace = Pace::given;
    SpeedLimits limits;         ///< from rest to rest within them; one speed all along without
    bool run_up = false;        ///< gets up speed before its shape and loses it after, dark
    Nose nose = Nose::kept;
    double nose_deg = 0.0;      ///< bearing, of a nose that is kept
    double start_s = 0.0;       ///< when it begins, from the shutter's opening or the flight before
    std::optional<std::string> after;  ///< flight of the same drone that it follows
    std::optional<std::string> drone;  ///< that flies it
    std::optional<double> wander_m;  ///< how far it strays: rms east, and north; half of it up
    std::optional<double> wander_s;  ///< for how long it strays to one side: correlation time
    int wander_seed = 1;             ///< another number, another go of the same strength
    double gap_m = 0.3;              ///< a line whose ends meet within it counts as closed
    bool lit_between = false;   ///< burns on the way from the flight before as well
    std::vector<std::string> carries;

    /// The corners of "waypoints" and "figure" in world metres, filled in as the scene is read.
    Waypoints path{};
    /// Velocity of the steady wind in which it is flown, filled in likewise.
    Vec3 wind_m_s{0.0};
};

}  // namespace lampflight
