// A flight at its pace: where its drone is at a time, on the shutter's clock.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "scene/flights/flight_plan.h"
#include "scene/flights/flight_shapes.h"
#include "scene/flights/nose.h"
#include "scene/lamps/aim.h"

namespace lampflight {

/// A part of a flight's way along which its lamps do the same.
struct PathStretch {
    double from_m = 0.0;
    double to_m = 0.0;
    bool lit = true;
    std::optional<Aim> aim{};  ///< instead of the lamps' own
};

/// A flight at its pace: position along a route, by arc length. All times are on the shutter's
/// clock, on which the flight begins at `begins_s`: before, the drone stands at its start,
/// afterwards at its end. With a run-up, way counts from the run-up's start.
class FlightPath {
public:
    /// `shutter_s` sets the duration of a flight paced by the shutter. Otherwise `lap_s` does, else
    /// speeds, else a lap of 25 s. Where limits do not allow that, the flight lasts longer.
    FlightPath(const Flight& flight, double shutter_s, double begins_s = 0.0);

    double length_m() const;    ///< of the whole shape
    double duration_s() const;  ///< of the whole flight, run-up included
    double lap_s() const;       ///< one turn of the shape; for a line the whole of it
    double speed_m_s() const;   ///< mean over the shape
    double top_speed_m_s() const;
    double top_acceleration_m_s2() const;  ///< the largest, along and across together

    double begins_s() const { return begins_s_; }
    double ends_s() const { return begins_s_ + duration_s(); }
    double shape_from_m() const { return plan_.shape_from_m; }  ///< way at the shape's start
    double shape_to_m() const { return plan_.shape_to_m; }

    double flown_m(double time_s) const;      ///< way behind the drone
    double flown_turns(double time_s) const;  ///< of the shape in turns; of a line, in its whole
    double time_at_s(double arc_m) const;  ///< when so much way lies behind it for the first time

    /// World position and velocity at a time, clamped to the flight's beginning and end.
    Vec3 position_m(double time_s) const;
    Vec3 velocity_m_s(double time_s) const;
    Vec3 acceleration_m_s2(double time_s) const;  ///< 0 outside the flight
    Vec3 direction(double time_s) const;  ///< unit, of the velocity, at rest too; 0 for no length
    double heading_rad(double time_s) const;  ///< bearing of it; 0 when it climbs straight

    /// Bearing of the nose in [0, 2 pi): kept; along the course, the last where it climbs straight;
    /// to the centre. Where the drone stands while it turns, evenly over that time.
    double nose_rad(double time_s) const;

    Vec3 centre_m() const;  ///< of the figure

    /// Rising, without gaps, over the whole way; neighbours differ. Dark on the run-up.
    const std::vector<PathStretch>& stretches() const { return stretches_; }

    /// Times at which the course is not smooth: sharp joints, begin and end of holds; rising.
    const std::vector<double>& breaks_s() const { return breaks_s_; }

private:
    /// The nose turns where the drone stands; times from the flight's begin.
    struct StandingTurn {
        double from_s, to_s;
        double from_rad, by_rad;
        std::size_t piece;  ///< that begins there
    };

    double since_begin_s(double time_s) const;
    void find_stretches();
    void find_stands();

    FlightPlan plan_;
    double begins_s_ = 0.0;
    Vec3 figure_centre_m_{};
    double turns_ = 1.0;
    NoseCourse nose_;
    std::vector<PathStretch> stretches_;
    std::vector<double> breaks_s_;
    std::vector<StandingTurn> standing_turns_;
};

}  // namespace lampflight
