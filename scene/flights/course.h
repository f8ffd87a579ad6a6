// Course: a route as the planning of speed sees it, cell by cell of its arc length.
#pragma once

#include <cstddef>
#include <vector>

#include "scene/flights/flight.h"
#include "scene/flights/route.h"

namespace lampflight {

/// What holds a drone's speed down.
enum class SpeedBound {
    none,
    speed,
    leg_speed,
    acceleration,
    turning,
    climb,
    descent,
    yaw,
    air,
    hold
};

/// The drone is at rest at an edge, and stays.
struct CourseStop {
    std::size_t edge = 0;
    double hold_s = 0.0;
    SpeedBound held_by = SpeedBound::hold;
};

/// Cells between rising edges.
struct Course {
    std::vector<double> edge_m;  ///< first 0, last the length
    std::vector<double> bend;    ///< curvature of each cell, 1/m, its largest
    /// The fastest in each cell, m/s, and why; empty where nothing but acceleration and the limit
    /// of speed holds it down.
    std::vector<double> most_m_s{};
    std::vector<SpeedBound> bound{};
    std::vector<CourseStop> stops{};  ///< rising

    double length_m() const { return edge_m.back(); }
    std::size_t cells() const { return bend.size(); }
    double held_s() const;  ///< all stops together
};

/// The course of a flight along a route, cut so finely where its bends or limits vary that the most
/// speed varies by no more than 2 % in a cell. `otherwise_m_s` is the fastest on legs that state no
/// speed of their own. Limits of turning, climb, descent, yaw and speed through the air count where
/// `limits.given()`; where the nose follows the course, it turns at rest in sharp joints.
Course course_of(const Route& route, const Flight& flight, double otherwise_m_s);

/// The fastest over ground along a course, a unit vector, that is no faster than so much through air
/// that moves itself: the wind triangle. 0 where the wind does not let it get on.
double most_over_ground_m_s(const Vec3& course, const Vec3& wind_m_s, double air_m_s);

}  // namespace lampflight
