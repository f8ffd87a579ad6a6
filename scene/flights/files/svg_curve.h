// Lines, cubics and arcs of ellipses: what SVG's paths and shapes consist of.
#pragma once

#include <variant>
#include <vector>

#include "scene/basics/vector.h"
#include "scene/flights/files/svg_transform.h"
#include "scene/flights/svg_drawing.h"

namespace lampflight {

/// Each begins where the one before ends.
struct SvgLine {
    Vec2 to;
};
struct SvgCubic {
    Vec2 first_handle;
    Vec2 second_handle;
    Vec2 to;
};
/// centre + cos(angle) across + sin(angle) along, which any affine transform leaves an arc.
struct SvgArc {
    Vec2 centre;
    Vec2 across;
    Vec2 along;
    double from_rad;
    double swept_rad;
    Vec2 to;

    Vec2 point(double angle_rad) const;
    Vec2 tangent(double angle_rad) const;  ///< in the direction of growing angles
};

using SvgSegment = std::variant<SvgLine, SvgCubic, SvgArc>;

/// A closed one has the segment that closes it.
struct SvgSubpath {
    Vec2 start{0.0};
    std::vector<SvgSegment> segments;
    bool closed = false;
};

/// What the attributes of an arc in a path say.
struct SvgArcShape {
    Vec2 radii;
    double turned_deg;
    bool large;
    bool sweep;
};

Vec2 end_of(const SvgSegment& segment);

/// The cubic that a quadratic with this handle is.
SvgCubic svg_quadratic(const Vec2& from, const Vec2& handle, const Vec2& to);

/// From end points to a centre by SVG 2, B.2.4 and B.2.5: radii that can't reach are scaled up,
/// a radius of 0 makes a line. A line as well where a radius is beyond ten million chords.
SvgSegment svg_arc(const Vec2& from, const SvgArcShape& shape, const Vec2& to);

/// In place, all points.
void transform(SvgSubpath& subpath, const SvgTransform& by);

/// Whether all numbers lie within `farthest` of zero; NaN does not.
bool lies_within(const SvgSubpath& subpath, double farthest);

/// The box of the curves themselves, not of their handles.
void include(FigureBox& box, const SvgSubpath& subpath);

}  // namespace lampflight
