#include "scene/flights/files/svg_curve.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

double cross(const Vec2& a, const Vec2& b) {
    return a.x * b.y - a.y * b.x;
}

double angle_between(const Vec2& from, const Vec2& to) {
    return std::atan2(cross(from, to), glm::dot(from, to));
}

bool within(const Vec2& point, double farthest) {
    return std::abs(point.x) <= farthest && std::abs(point.y) <= farthest;
}

Vec2 cubic_point(const Vec2& from, const SvgCubic& cubic, double t) {
    const double s = 1.0 - t;
    return s * s * s * from + 3.0 * s * s * t * cubic.first_handle +
           3.0 * s * t * t * cubic.second_handle + t * t * t * cubic.to;
}

/// Where a cubic's derivative along one axis vanishes; numbers outside [0, 1] say nothing.
std::array<double, 2> turning_points(double p0, double p1, double p2, double p3) {
    const double a = p3 - 3.0 * p2 + 3.0 * p1 - p0;
    const double b = 2.0 * (p2 - 2.0 * p1 + p0);
    const double c = p1 - p0;
    const double root = std::sqrt(std::max(b * b - 4.0 * a * c, 0.0));
    // The form that does not cancel (Numerical Recipes, 5.6).
    const double q = -0.5 * (b + std::copysign(root, b));
    return {a != 0.0 ? q / a : -1.0, q != 0.0 ? c / q : -1.0};
}

void include_curve(FigureBox& box, const Vec2& from, const SvgCubic& cubic) {
    for (int axis = 0; axis < 2; ++axis)
        for (const double t : turning_points(from[axis], cubic.first_handle[axis],
                                             cubic.second_handle[axis], cubic.to[axis]))
            if (t > 0.0 && t < 1.0) box.include(cubic_point(from, cubic, t));
}

void include_curve(FigureBox& box, const SvgArc& arc) {
    for (int axis = 0; axis < 2; ++axis) {
        const double widest_rad = std::atan2(arc.along[axis], arc.across[axis]);
        for (int half = 0; half < 2; ++half) {
            const double swept_rad = widest_rad + half * pi - arc.from_rad;
            const double once_rad = swept_rad - 2.0 * pi * std::floor(swept_rad / (2.0 * pi));
            const bool passed = arc.swept_rad >= 0.0 ? once_rad <= arc.swept_rad
                                                     : once_rad - 2.0 * pi >= arc.swept_rad;
            if (passed) box.include(arc.point(arc.from_rad + swept_rad));
        }
    }
}

}  // namespace

Vec2 SvgArc::point(double angle_rad) const {
    return centre + std::cos(angle_rad) * across + std::sin(angle_rad) * along;
}
Vec2 SvgArc::tangent(double angle_rad) const {
    return std::cos(angle_rad) * along - std::sin(angle_rad) * across;
}

Vec2 end_of(const SvgSegment& segment) {
    return std::visit([](const auto& each) { return each.to; }, segment);
}

SvgCubic svg_quadratic(const Vec2& from, const Vec2& handle, const Vec2& to) {
    return {from + (2.0 / 3.0) * (handle - from), to + (2.0 / 3.0) * (handle - to), to};
}

SvgSegment svg_arc(const Vec2& from, const SvgArcShape& shape, const Vec2& to) {
    constexpr double most_chords = 1e7;
    Vec2 radii = glm::abs(shape.radii);
    const double chord = glm::distance(from, to);
    const double least = std::min(radii.x, radii.y);
    if (least == 0.0 || chord == 0.0 || !(std::max(radii.x, radii.y) <= most_chords * chord))
        return SvgLine{to};
    const double turned_rad = radians(shape.turned_deg);
    const Vec2 x_axis(std::cos(turned_rad), std::sin(turned_rad));
    const Vec2 y_axis(-x_axis.y, x_axis.x);

    // On the circle of radius 1 that the ellipse is when seen along its axes.
    const Vec2 half_way = 0.5 * (from - to);
    Vec2 half(glm::dot(half_way, x_axis) / radii.x, glm::dot(half_way, y_axis) / radii.y);
    const double reach = glm::length(half);
    // How far the centre lies from the middle between the ends, in halves of their distance.
    double aside = 0.0;
    if (reach > 1.0) {
        radii *= reach;
        half /= reach;
    } else {
        aside = std::sqrt(1.0 / (reach * reach) - 1.0);
    }
    if (shape.large == shape.sweep) aside = -aside;
    const Vec2 centre(aside * half.y, -aside * half.x);

    const double from_rad = angle_between({1.0, 0.0}, half - centre);
    double swept_rad = angle_between(half - centre, -half - centre);
    if (shape.sweep && swept_rad < 0.0) swept_rad += 2.0 * pi;
    if (!shape.sweep && swept_rad > 0.0) swept_rad -= 2.0 * pi;
    const Vec2 across = radii.x * x_axis;
    const Vec2 along = radii.y * y_axis;
    return SvgArc{0.5 * (from + to) + centre.x * across + centre.y * along,
                  across,
                  along,
                  from_rad,
                  swept_rad,
                  to};
}

void transform(SvgSubpath& subpath, const SvgTransform& by) {
    subpath.start = by.point(subpath.start);
    for (SvgSegment& segment : subpath.segments) {
        if (auto* line = std::get_if<SvgLine>(&segment)) {
            line->to = by.point(line->to);
        } else if (auto* cubic = std::get_if<SvgCubic>(&segment)) {
            *cubic = {by.point(cubic->first_handle), by.point(cubic->second_handle),
                      by.point(cubic->to)};
        } else if (auto* arc = std::get_if<SvgArc>(&segment)) {
            arc->centre = by.point(arc->centre);
            arc->across = by.direction(arc->across);
            arc->along = by.direction(arc->along);
            arc->to = by.point(arc->to);
        }
    }
}

bool lies_within(const SvgSubpath& subpath, double farthest) {
    const auto all = [&](const SvgSegment& segment) {
        if (!within(end_of(segment), farthest)) return false;
        if (const auto* cubic = std::get_if<SvgCubic>(&segment))
            return within(cubic->first_handle, farthest) && within(cubic->second_handle, farthest);
        if (const auto* arc = std::get_if<SvgArc>(&segment))
            return within(arc->centre, farthest) && within(arc->across, farthest) &&
                   within(arc->along, farthest) && std::isfinite(arc->from_rad) &&
                   std::isfinite(arc->swept_rad);
        return true;
    };
    return within(subpath.start, farthest) &&
           std::all_of(subpath.segments.begin(), subpath.segments.end(), all);
}

void include(FigureBox& box, const SvgSubpath& subpath) {
    Vec2 at = subpath.start;
    box.include(at);
    for (const SvgSegment& segment : subpath.segments) {
        if (const auto* cubic = std::get_if<SvgCubic>(&segment)) include_curve(box, at, *cubic);
        if (const auto* arc = std::get_if<SvgArc>(&segment)) include_curve(box, *arc);
        at = end_of(segment);
        box.include(at);
    }
}

}  // namespace lampflight
