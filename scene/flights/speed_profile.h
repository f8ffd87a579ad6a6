// Speed profile of a course: even, or from rest to rest within a drone's limits. Its speeds are the
// fastest that keep v <= speed and a_t^2 + (v^2 k)^2 <= acceleration^2 at every place, with k
// the curvature: one pass forwards from rest, one backwards, of which the slower counts.
#pragma once

#include <vector>

#include "scene/flights/flight.h"

namespace lampflight {

/// A path by its arc length: cells between rising edges, and how sharply it bends in each.
struct Course {
    std::vector<double> edge_m;  ///< first 0, last the length
    std::vector<double> bend;    ///< curvature of each cell, 1/m, its largest

    double length_m() const { return edge_m.back(); }
};

/// Places, times and speeds; the acceleration along the course is constant between two of them.
struct SpeedProfile {
    std::vector<double> arc_m;
    std::vector<double> time_s;
    std::vector<double> speed_m_s;
    double top_acceleration_m_s2 = 0.0;  ///< along and across, together

    double duration_s() const { return time_s.back(); }
    double top_speed_m_s() const;

    /// At a time, held to the flight's beginning and end.
    double arc_at_m(double time_s) const;
    double speed_at_m_s(double time_s) const;

private:
    struct Place {
        std::size_t index;
        double since_s;
        double acceleration_m_s2;
    };
    Place place_at(double time_s) const;
};

/// One speed all along.
SpeedProfile even_speed(const Course& course, double duration_s);

/// From rest to rest, not faster than `cruise_m_s`; `limits` must be given.
SpeedProfile limited_speed(const Course& course, const SpeedLimits& limits, double cruise_m_s);

/// From rest to rest in just this time, at the slowest cruise that does it; the fastest that the
/// limits allow where that takes longer.
SpeedProfile limited_duration(const Course& course, const SpeedLimits& limits, double duration_s);

}  // namespace lampflight
