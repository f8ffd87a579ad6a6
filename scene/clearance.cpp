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

double distance_to_vertices_m(const Vec3& point_m, const Mesh& mesh) {
    const glm::vec3 point(point_m);
    float nearest_squared = std::numeric_limits<float>::max();
    for (const glm::vec3& vertex : mesh.positions) {
        const glm::vec3 apart = vertex - point;
        nearest_squared = std::min(nearest_squared, glm::dot(apart, apart));
    }
    return std::sqrt(static_cast<double>(nearest_squared));
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
    double nearest_m = std::numeric_limits<double>::infinity();
    for (int i = 0; i <= samples; ++i) {
        const Vec3 drone_m = path.position_m(sample_time_s(i, until_s));
        double distance = distance_m(drone_m, box);
        if (distance >= nearest_m) continue;
        if (distance < look_within_m && !subject.placed.positions.empty())
            distance = distance_to_vertices_m(drone_m, subject.placed);
        nearest_m = std::min(nearest_m, distance);
    }
    return nearest_m;
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
