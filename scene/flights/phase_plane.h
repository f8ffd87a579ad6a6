// Time-optimal speed along a course: v^2 over arc length, in the phase plane (Bobrow, Dubowsky and
// Gibson 1985; Shin and McKay 1985). A cell's most speed is the maximum velocity curve; one pass
// forwards and one backwards keep to what can be reached, of which the slower counts (as the passes
// of reachability of Pham and Pham 2018). The acceleration along the course is even between nodes,
// and keeps a_t^2 + (v^2 k)^2 <= a^2 at the faster of both; nodes stand just where accelerating,
// cruising and braking meet.
#pragma once

#include <limits>
#include <vector>

#include "scene/flights/course.h"

namespace lampflight {

struct PhaseNode {
    double arc_m = 0.0;
    double square = 0.0;   ///< v^2, m2/s2
    std::size_t cell = 0;  ///< in which it ends a step
};

/// How fast the drone may be at the ends of a course.
struct EndSpeeds {
    double first_m_s = 0.0;
    double last_m_s = 0.0;

    static EndSpeeds free() {
        return {std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
    }
};

/// The course has a length. Linear in the number of its cells and of the steps on its bends, of
/// which there are at most some 160 from rest to the most that a bend allows.
std::vector<PhaseNode> phase_plane(const Course& course, double acceleration_m_s2,
                                   double cruise_m_s, EndSpeeds ends);

}  // namespace lampflight
