// Curves to chords: the points of a stroke, close enough for the eye and for a drone's turns.
#pragma once

#include <cstddef>

#include "scene/flights/files/svg_curve.h"
#include "scene/flights/svg_drawing.h"

namespace lampflight {

struct SvgFineness {
    double chord;       ///< the farthest that a chord may lie from its curve, in user units
    double negligible;  ///< what is no longer than this is no length at all
};

/// For a drawing whose larger side is so long: chords within 1/4000 of it.
SvgFineness fineness_of(double larger_side);

/// Chords that keep to the fineness, and where a curve bends turn by some 6 degrees at most. Bends
/// tighter than a sixteenth of the fineness are not followed so closely, and are a corner where
/// they turn by more than 30 degrees, as a cusp does. Segments without length vanish; fewer than
/// two points are left of a subpath that has none. Stops soon after so many points.
SvgStroke flatten(const SvgSubpath& subpath, const SvgFineness& fineness, std::size_t most_points);

}  // namespace lampflight
