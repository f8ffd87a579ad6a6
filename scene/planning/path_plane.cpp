#include "scene/planning/path_plane.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

constexpr double flat_within = 1e-3;  // of the longest extent

template <class Measure>
Vec3 farthest(std::span<const Vec3> points, Measure measure) {
    return *std::max_element(points.begin(), points.end(), [&](const Vec3& one, const Vec3& other) {
        return measure(one) < measure(other);
    });
}

}  // namespace

std::optional<PathPlane> plane_of(std::span<const Vec3> points_m) {
    if (points_m.size() < 3) return std::nullopt;
    const Vec3 from_m = points_m.front();
    const Vec3 to_m = farthest(points_m, [&](const Vec3& p) { return glm::distance(p, from_m); });
    const double length_m = glm::distance(from_m, to_m);
    if (length_m <= 0.0) return std::nullopt;
    PathPlane plane{};
    plane.right = (to_m - from_m) / length_m;
    const auto aside = [&](const Vec3& p) {
        return (p - from_m) - glm::dot(p - from_m, plane.right) * plane.right;
    };
    const Vec3 widest_m =
        aside(farthest(points_m, [&](const Vec3& p) { return glm::length(aside(p)); }));
    if (glm::length(widest_m) <= flat_within * length_m) return std::nullopt;
    plane.up = glm::normalize(widest_m);
    const Vec3 normal = plane.normal();
    constexpr double most = std::numeric_limits<double>::max();
    Vec2 least(most), largest(-most);
    for (const Vec3& point : points_m) {
        const Vec3 off_m = point - from_m;
        if (std::abs(glm::dot(off_m, normal)) > flat_within * length_m) return std::nullopt;
        const Vec2 in_plane(glm::dot(off_m, plane.right), glm::dot(off_m, plane.up));
        least = glm::min(least, in_plane);
        largest = glm::max(largest, in_plane);
    }
    const Vec2 middle = 0.5 * (least + largest);
    plane.middle_m = from_m + middle.x * plane.right + middle.y * plane.up;
    plane.radius_m = 0.5 * std::max(largest.x - least.x, largest.y - least.y);
    return plane;
}

double plane_angle_deg(const PathPlane& plane, const Vec3& lens_m) {
    const Vec3 sight_m = plane.middle_m - lens_m;
    const double across = std::abs(glm::dot(plane.normal(), sight_m));
    const double distance_m = glm::length(sight_m);
    return distance_m > 0.0 ? degrees(std::asin(std::min(across / distance_m, 1.0))) : 0.0;
}

std::optional<Extents> image_extents_px(const Camera& camera, std::span<const Vec3> points_m) {
    const Projection projection(camera);
    const Vec2 pitch_mm = pixel_pitch_mm(camera);
    std::vector<Vec2> film_px;
    for (const Vec3& point : points_m) {
        const std::optional<Vec2> image = projection.film_px(point);
        if (!image) return std::nullopt;
        film_px.push_back({image->x, image->y * pitch_mm.y / pitch_mm.x});
    }
    if (film_px.empty()) return std::nullopt;
    return extents_of(std::move(film_px));
}

std::optional<double> plane_flattening(const Camera& camera, const PathPlane& plane) {
    constexpr int corners = 2048;
    std::vector<Vec3> circle_m;
    for (int i = 0; i < corners; ++i) {
        const double turn_rad = 2.0 * pi * i / corners;
        circle_m.push_back(plane.middle_m + plane.radius_m * (std::cos(turn_rad) * plane.right +
                                                              std::sin(turn_rad) * plane.up));
    }
    const std::optional<Extents> seen = image_extents_px(camera, circle_m);
    if (!seen) return std::nullopt;
    return seen->ratio();
}

}  // namespace lampflight
