// Where a drone's nose points along a route.
#pragma once

#include <optional>
#include <vector>

#include "scene/flights/flight.h"
#include "scene/flights/route.h"

namespace lampflight {

/// Bearing in radians; nothing for a direction that is vertical, or none.
std::optional<double> level_bearing(const Vec3& direction);

/// Smallest angle from one bearing to another, radians in [-pi, pi].
double turn_between(double from_rad, double to_rad);

/// A route's bearings of the nose: of the course, the last where it climbs straight; towards a
/// centre, the course's above it; or kept.
class NoseCourse {
public:
    NoseCourse() = default;
    NoseCourse(const Route& route, const Flight& flight, const Vec3& centre_m);

    double bearing_rad(const Route& route, std::size_t piece, double way_m) const;

    /// How far the nose turns, in radians, between the end of a piece and the start of the next.
    double turn_before(const Route& route, std::size_t piece) const;

    /// Radians a metre at which the nose turns.
    double rate(const RoutePiece& piece, double way_m) const;

    /// A way that changes by no more than a metre each metre; the nose turns by no more than its
    /// inverse.
    double slack_m(const RoutePiece& piece, double way_m) const;

    /// Whether it turns at all.
    bool turns() const { return nose_ != Nose::kept; }
    bool looks_at_centre() const { return nose_ == Nose::centre; }

private:
    Nose nose_ = Nose::kept;
    double kept_rad_ = 0.0;
    Vec3 centre_m_{0.0};
    std::vector<double> held_rad_;  ///< of each piece, where the course tells no bearing
};

/// A route whose pieces are cut where the nose would have to turn at once: above the centre it
/// looks at, and where a course in an upright plane passes the vertical.
Route cut_for_nose(const Route& route, const Flight& flight, const Vec3& centre_m);

}  // namespace lampflight
