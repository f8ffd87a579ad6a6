#include "scene/cautions/clearance.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <vector>

namespace lampflight {
namespace {

constexpr double sample_m = 0.2;
constexpr double hung_part_m = 0.5;
constexpr double fewest_samples = 360.0;
constexpr double most_samples = 8192.0;

/// Even moments, so many that a flight at an even pace goes on by no more than a step of the above.
std::vector<double> moments_s(const FlightPath& path, const TimeWindow& times) {
    const double way_m = path.flown_m(times.to_s) - path.flown_m(times.from_s);
    const int count = static_cast<int>(std::clamp(way_m / sample_m, fewest_samples, most_samples));
    std::vector<double> moments;
    for (int i = 0; i <= count; ++i)
        moments.push_back(std::lerp(times.from_s, times.to_s, static_cast<double>(i) / count));
    return moments;
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

/// A ball around a triangle, to pass over most of them without their corners.
struct Ball {
    glm::vec3 middle;
    float radius_m;
};

std::vector<Ball> balls_of(const Mesh& mesh) {
    std::vector<Ball> balls;
    balls.reserve(mesh.triangles.size());
    for (const auto& corners : mesh.triangles) {
        const glm::vec3& a = mesh.positions[corners[0]];
        const glm::vec3& b = mesh.positions[corners[1]];
        const glm::vec3& c = mesh.positions[corners[2]];
        const glm::vec3 middle = (a + b + c) / 3.0F;
        const float reach_m = std::max(
            {glm::distance(middle, a), glm::distance(middle, b), glm::distance(middle, c)});
        balls.push_back({middle, reach_m + 0.001F});  // a millimetre for single precision
    }
    return balls;
}

/// Balls around runs of triangles, which mostly lie together, and around each.
struct Balls {
    static constexpr std::size_t run_length = 32;

    std::vector<Ball> runs;
    std::vector<Ball> triangles;

    explicit Balls(const Mesh& mesh) : triangles(balls_of(mesh)) {
        for (std::size_t first = 0; first < triangles.size(); first += run_length) {
            Ball run = triangles[std::min(first + run_length / 2, triangles.size() - 1)];
            for (std::size_t i = first; i < end_of_run(first); ++i)
                run.radius_m =
                    std::max(run.radius_m, glm::distance(run.middle, triangles[i].middle) +
                                               triangles[i].radius_m + 0.001F);
            runs.push_back(run);
        }
    }

    std::size_t end_of_run(std::size_t first) const {
        return std::min(first + run_length, triangles.size());
    }
};

bool is_nearer(const glm::vec3& point, const Ball& ball, double than_m) {
    const glm::vec3 apart = ball.middle - point;
    const float within_m = static_cast<float>(than_m) + ball.radius_m;
    return glm::dot(apart, apart) < within_m * within_m;
}

/// Distance to the surface if it is less than `less_than_m`, else that.
double distance_to_surface_m(const Vec3& point_m, const Mesh& mesh, const Balls& balls,
                             double less_than_m) {
    const glm::vec3 point(point_m);
    double nearest_m = less_than_m;
    for (std::size_t run = 0; run < balls.runs.size(); ++run) {
        if (!is_nearer(point, balls.runs[run], nearest_m)) continue;
        const std::size_t first = run * Balls::run_length;
        for (std::size_t i = first; i < balls.end_of_run(first); ++i) {
            if (!is_nearer(point, balls.triangles[i], nearest_m)) continue;
            const auto& corners = mesh.triangles[i];
            nearest_m = std::min(nearest_m,
                                 distance_to_triangle_m(point_m, Vec3(mesh.positions[corners[0]]),
                                                        Vec3(mesh.positions[corners[1]]),
                                                        Vec3(mesh.positions[corners[2]])));
        }
    }
    return nearest_m;
}

}  // namespace

double distance_m(const Vec3& point_m, const Box& box) {
    return glm::distance(point_m, glm::clamp(point_m, box.low_m, box.high_m));
}

double distance_m(const Vec3& point_m, const Mesh& mesh, double look_within_m) {
    if (mesh.triangles.empty() || distance_m(point_m, box_of(mesh)) >= look_within_m)
        return look_within_m;
    return distance_to_surface_m(point_m, mesh, Balls(mesh), look_within_m);
}

bool is_inside(const Vec3& point_m, const Mesh& mesh) {
    if (mesh.triangles.empty() || distance_m(point_m, box_of(mesh)) > 0.0) return false;
    // Faces above the point that look up, less those that look down. The plumb line goes a hair
    // beside the point, so as not to run along edges that stand upright or meet corners.
    const Vec2 at_m = Vec2(point_m) + Vec2(1.7e-5, 2.3e-5);
    int outwards = 0;
    for (const auto& corners : mesh.triangles) {
        const Vec3 a(mesh.positions[corners[0]]);
        const Vec3 b(mesh.positions[corners[1]]);
        const Vec3 c(mesh.positions[corners[2]]);
        const auto turn = [](const Vec2& u, const Vec2& v) { return u.x * v.y - u.y * v.x; };
        const Vec2 to_a = Vec2(a) - at_m, to_b = Vec2(b) - at_m, to_c = Vec2(c) - at_m;
        const double by_a = turn(to_b, to_c), by_b = turn(to_c, to_a), by_c = turn(to_a, to_b);
        const bool up = by_a > 0.0 && by_b > 0.0 && by_c > 0.0;
        const bool down = by_a < 0.0 && by_b < 0.0 && by_c < 0.0;
        if (!up && !down) continue;
        const double height_m = (by_a * a.z + by_b * b.z + by_c * c.z) / (by_a + by_b + by_c);
        if (height_m > point_m.z) outwards += up ? 1 : -1;
    }
    return outwards > 0;
}

double clearance_m(const FlightPath& path, const TimeWindow& times, const Mesh& mesh,
                   double look_within_m, double hanging_m) {
    const Box box = box_of(mesh);
    std::optional<Balls> balls;
    double to_box_m = std::numeric_limits<double>::infinity();
    double to_surface_m = to_box_m;
    const int parts = static_cast<int>(std::ceil(hanging_m / hung_part_m));
    for (const double time_s : moments_s(path, times))
        for (int part = 0; part <= parts; ++part) {
            const double below_m = parts > 0 ? hanging_m * part / parts : 0.0;
            const Vec3 place_m = path.position_m(time_s) - Vec3(0.0, 0.0, below_m);
            const double distance = distance_m(place_m, box);
            to_box_m = std::min(to_box_m, distance);
            if (distance >= std::min(look_within_m, to_surface_m)) continue;
            if (!balls) balls.emplace(mesh);
            to_surface_m = distance_to_surface_m(place_m, mesh, *balls, to_surface_m);
        }
    return std::isfinite(to_surface_m) ? to_surface_m : to_box_m;
}

double separation_m(const FlightPath& one, const FlightPath& other, const TimeWindow& times) {
    double nearest_m = std::numeric_limits<double>::infinity();
    for (const double time_s : moments_s(one, times)) {
        nearest_m =
            std::min(nearest_m, glm::distance(one.position_m(time_s), other.position_m(time_s)));
    }
    return nearest_m;
}

}  // namespace lampflight
