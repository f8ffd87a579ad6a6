#include "scene/planning/extents.h"

#include <algorithm>
#include <limits>

namespace lampflight {
namespace {

double cross(const Vec2& one, const Vec2& other) {
    return one.x * other.y - one.y * other.x;
}

/// Corners of the convex hull, counter-clockwise, none twice (Andrew's monotone chain).
std::vector<Vec2> hull_of(std::vector<Vec2> points) {
    const auto by_place = [](const Vec2& one, const Vec2& other) {
        return one.x < other.x || (one.x == other.x && one.y < other.y);
    };
    std::sort(points.begin(), points.end(), by_place);
    points.erase(std::unique(points.begin(), points.end()), points.end());
    if (points.size() < 3) return points;
    std::vector<Vec2> hull;
    const auto add = [&](const Vec2& point, std::size_t fewest) {
        while (hull.size() >= fewest + 2 &&
               cross(hull.back() - hull[hull.size() - 2], point - hull.back()) <= 0.0)
            hull.pop_back();
        hull.push_back(point);
    };
    for (const Vec2& point : points) add(point, 0);
    const std::size_t lower = hull.size() - 1;
    for (auto point = points.rbegin() + 1; point != points.rend(); ++point) add(*point, lower);
    hull.pop_back();
    return hull;
}

double extent_along(const std::vector<Vec2>& points, const Vec2& direction) {
    double least = std::numeric_limits<double>::infinity(), most = -least;
    for (const Vec2& point : points) {
        const double way = glm::dot(point, direction);
        least = std::min(least, way);
        most = std::max(most, way);
    }
    return most - least;
}

}  // namespace

Extents extents_of(std::vector<Vec2> points) {
    const std::vector<Vec2> hull = hull_of(std::move(points));
    const std::size_t count = hull.size();
    if (count < 2) return {};
    if (count == 2) return {glm::distance(hull[0], hull[1]), 0.0};
    const auto after = [&](std::size_t i) { return (i + 1) % count; };
    // The point farthest above an edge only ever moves on.
    Vec2 best(1.0, 0.0);
    double least = std::numeric_limits<double>::infinity();
    std::size_t top = 1;
    for (std::size_t edge = 0; edge < count; ++edge) {
        const Vec2 along = glm::normalize(hull[after(edge)] - hull[edge]);
        const auto rise = [&](std::size_t i) { return cross(along, hull[i] - hull[edge]); };
        while (rise(after(top)) > rise(top)) top = after(top);
        if (rise(top) >= least) continue;
        least = rise(top);
        best = along;
    }
    const double along = extent_along(hull, best);
    const double across = extent_along(hull, {-best.y, best.x});
    return {std::max(along, across), std::min(along, across)};
}

}  // namespace lampflight
