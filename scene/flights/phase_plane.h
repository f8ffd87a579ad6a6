// Time-optimal speed along a course: v^2 over arc length, in the phase plane (Bobrow, Dubowsky and
// Gibson 1985; Shin and McKay 1985). A cell's most speed is the maximum velocity curve; one pass
// forwards and one backwards keep to what can be reached, of which the slower counts (as the passes
// of reachability of Pham and Pham 2018). The acceleration along the course is even between nodes,
// and keeps a_t^2 + (v^2 k)^2 <= a^2 at the faster of both; nodes stand just where accelerating,
// cruising and braking meet.
#pragma once

#include <cstddef>
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

/// Room to work in, for one plan after another.
struct PhaseRoom {
    struct Cell {
        double length_m;
        double bend;
        double most;  ///< of v^2
    };
    struct Place {
        double way_m;  ///< into the cell
        double square;
    };
    /// All places of a pass; those of a cell begin with its start and end with its end.
    struct Pass {
        std::vector<Place> places;
        std::vector<std::size_t> first;  ///< of each cell
    };

    std::vector<Cell> cells;
    std::vector<bool> rests;  ///< before each cell, and at the end
    Pass on, back;
    std::vector<PhaseNode> nodes;
};

/// The course has a length. Linear in the number of its cells and of the steps on its bends, of
/// which there are at most some 160 from rest to the most that a bend allows.
const std::vector<PhaseNode>& phase_plane(const Course& course, double acceleration_m_s2,
                                          double cruise_m_s, EndSpeeds ends, PhaseRoom& room);

}  // namespace lampflight
