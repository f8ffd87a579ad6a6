#include "cli/sheets/plan_nearest.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "scene/cautions/clearance.h"

namespace lampflight {
namespace {

/// Some of a mesh's corners, spread over it: enough to draw a line to.
std::vector<Vec3> some_corners(const Mesh& mesh) {
    constexpr std::size_t about = 400;
    const std::size_t stride = std::max<std::size_t>(1, mesh.positions.size() / about);
    std::vector<Vec3> corners;
    for (std::size_t i = 0; i < mesh.positions.size(); i += stride)
        corners.emplace_back(mesh.positions[i]);
    return corners;
}

/// Every so many of a way's places that a search over all corners stays short.
std::vector<Vec3> some_places(const std::vector<Vec3>& way_m, double hanging_m) {
    constexpr std::size_t about = 360;
    const std::size_t stride = std::max<std::size_t>(1, way_m.size() / about);
    std::vector<Vec3> places;
    for (std::size_t i = 0; i < way_m.size(); i += stride)
        for (const double below_m : {0.0, hanging_m})
            places.push_back(way_m[i] - Vec3(0.0, 0.0, below_m));
    return places;
}

}  // namespace

PlanNearest nearest_to(const FlightPath& path, const std::vector<Vec3>& way_m, const Mesh& mesh,
                       const std::string& name, double hanging_m) {
    PlanNearest nearest{name, std::numeric_limits<double>::infinity(), {}, {}};
    double least = nearest.apart_m;
    const std::vector<Vec3> corners = some_corners(mesh);
    for (const Vec3& place_m : some_places(way_m, hanging_m))
        for (const Vec3& corner_m : corners) {
            const Vec3 by_m = corner_m - place_m;
            const double apart = glm::dot(by_m, by_m);
            if (apart >= least) continue;
            least = apart;
            nearest.flight_m = place_m;
            nearest.other_m = corner_m;
        }
    nearest.apart_m =
        clearance_m(path, {path.begins_s(), path.ends_s()}, mesh, plan_exact_m, hanging_m);
    return nearest;
}

PlanNearest nearest_to_camera(const std::vector<Vec3>& way_m, const Vec3& lens_m,
                              double hanging_m) {
    // As wide and tall as somebody beside the tripod, as the cautions have it.
    const Box body{lens_m - Vec3(0.4, 0.4, 1.6), lens_m + Vec3(0.4, 0.4, 0.4)};
    PlanNearest nearest{"camera", std::numeric_limits<double>::infinity(), {}, {}};
    for (const Vec3& place_m : way_m)
        for (const double below_m : {0.0, hanging_m}) {
            const Vec3 at_m = place_m - Vec3(0.0, 0.0, below_m);
            const double apart_m = distance_m(at_m, body);
            if (apart_m >= nearest.apart_m) continue;
            nearest.apart_m = apart_m;
            nearest.flight_m = at_m;
            nearest.other_m = glm::clamp(at_m, body.low_m, body.high_m);
        }
    return nearest;
}

std::optional<PlanNearest> nearest_together(const FlightPath& one, const FlightPath& other,
                                            const std::string& names) {
    const TimeWindow both{std::max(one.begins_s(), other.begins_s()),
                          std::min(one.ends_s(), other.ends_s())};
    if (!(both.from_s < both.to_s)) return std::nullopt;
    PlanNearest nearest{names, separation_m(one, other, both), {}, {}};
    double least_m = std::numeric_limits<double>::infinity();
    constexpr int steps = 720;
    for (int i = 0; i <= steps; ++i) {
        const double time_s = std::lerp(both.from_s, both.to_s, 1.0 * i / steps);
        const Vec3 one_m = one.position_m(time_s), other_m = other.position_m(time_s);
        if (glm::distance(one_m, other_m) >= least_m) continue;
        least_m = glm::distance(one_m, other_m);
        nearest.flight_m = one_m;
        nearest.other_m = other_m;
    }
    return nearest;
}

}  // namespace lampflight
