#include "scene/clearance.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lampflight {
namespace {

constexpr int samples = 360;

double sample_time_s(int index, double until_s) {
    return until_s * static_cast<double>(index) / samples;
}

double distance_to_edge_m(const Vec3& point_m, const Vec3& from_m, const Vec3& to_m) {
    const Vec3 edge = to_m - from_m;
    const double length_squared = glm::dot(edge, edge);
    if (length_squared == 0.0) return glm::distance(point_m, from_m);
    const double along = glm::clamp(glm::dot(point_m - from_m, edge) / length_squared, 0.0, 1.0);
    return glm::distance(point_m, from_m + edge * along);
}

double distance_to_triangle_m(const Vec3& point_m, const Vec3& a, const Vec3& b, const Vec3& c) {
    const Vec3 normal = glm::cross(b - a, c - a);
    const bool over_face = glm::dot(glm::cross(b - a, point_m - a), normal) > 0.0 &&
                           glm::dot(glm::cross(c - b, point_m - b), normal) > 0.0 &&
                           glm::dot(glm::cross(a - c, point_m - c), normal) > 0.0;
    if (over_face) return std::abs(glm::dot(point_m - a, glm::normalize(normal)));
    return std::min({distance_to_edge_m(point_m, a, b), distance_to_edge_m(point_m, b, c),
                     distance_to_edge_m(point_m, c, a)});
}

double distance_to_surface_m(const Vec3& point_m, const Mesh& mesh) {
    double nearest_m = std::numeric_limits<double>::infinity();
    for (const auto& corners : mesh.triangles) {
        const Vec3 a(mesh.positions[corners[0]]);
        const Vec3 b(mesh.positions[corners[1]]);
        const Vec3 c(mesh.positions[corners[2]]);
        // No point of a triangle lies further from a corner than the longer edge there.
        const double reach_m = std::max(glm::distance(a, b), glm::distance(a, c));
        if (glm::distance(point_m, a) - reach_m >= nearest_m) continue;
        nearest_m = std::min(nearest_m, distance_to_triangle_m(point_m, a, b, c));
    }
    return nearest_m;
}

}  // namespace

Box box_of(const Subject& subject) {
    const std::vector<glm::vec3>& positions = subject.placed.positions;
    if (positions.empty()) {
        const Vec3 half_width{0.3 * subject.scale, 0.3 * subject.scale, 0.0};
        return {subject.position_m - half_width,
                subject.position_m + half_width + Vec3(0.0, 0.0, 1.75 * subject.scale)};
    }
    Box box{Vec3(positions.front()), Vec3(positions.front())};
    for (const glm::vec3& position : positions) {
        box.low = glm::min(box.low, Vec3(position));
        box.high = glm::max(box.high, Vec3(position));
    }
    return box;
}

double distance_m(const Vec3& point_m, const Box& box) {
    return glm::distance(point_m, glm::clamp(point_m, box.low, box.high));
}

double clearance_m(const FlightPath& path, double until_s, const Subject& subject,
                   double look_within_m) {
    const Box box = box_of(subject);
    const bool has_surface = !subject.placed.triangles.empty();
    double to_box_m = std::numeric_limits<double>::infinity();
    double to_surface_m = to_box_m;
    for (int i = 0; i <= samples; ++i) {
        const Vec3 drone_m = path.position_m(sample_time_s(i, until_s));
        const double distance = distance_m(drone_m, box);
        to_box_m = std::min(to_box_m, distance);
        if (has_surface && distance < std::min(look_within_m, to_surface_m))
            to_surface_m = std::min(to_surface_m, distance_to_surface_m(drone_m, subject.placed));
    }
    return has_surface && to_box_m < look_within_m ? to_surface_m : to_box_m;
}

double separation_m(const FlightPath& one, const FlightPath& other, double until_s) {
    double nearest_m = std::numeric_limits<double>::infinity();
    for (int i = 0; i <= samples; ++i) {
        const double time_s = sample_time_s(i, until_s);
        nearest_m =
            std::min(nearest_m, glm::distance(one.position_m(time_s), other.position_m(time_s)));
    }
    return nearest_m;
}

}  // namespace lampflight
