#include "scene/flights/files/path_gathering.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "scene/basics/wording.h"

namespace lampflight {
namespace {

constexpr double one_point_m = 1e-3;

PathFault fault_of_place(const Vec3& at_m) {
    const double away_m = std::hypot(at_m.x, at_m.y);
    if (!(away_m <= farthest_point_m))
        return fmt::format("lies {:.3f} km from metre 0; allowed is up to {} km", away_m / 1000.0,
                           farthest_point_m / 1000.0);
    if (!(at_m.z >= lowest_point_m && at_m.z <= highest_point_m))
        return fmt::format("lies {:.1f} m above metre 0; allowed is {} to {} m", at_m.z,
                           lowest_point_m, highest_point_m);
    return std::nullopt;
}

/// The earlier place with what the later point says of the leg that follows.
void merge(Waypoint& earlier, const Waypoint& later) {
    const Vec3 at_m = earlier.at_m;
    const double hold_s = std::max(earlier.hold_s, later.hold_s);
    const auto radius_m = later.corner_radius_m ? later.corner_radius_m : earlier.corner_radius_m;
    earlier = later;
    earlier.at_m = at_m;
    earlier.hold_s = hold_s;
    earlier.corner_radius_m = radius_m;
}

}  // namespace

void PathGathering::begin(const std::string& name) {
    current_ = gathered_.size();
    gathered_.push_back({{name, {}}, {}});
}

void PathGathering::choose(const std::string& name) {
    const auto [known, is_new] = by_name_.try_emplace(name, gathered_.size());
    if (is_new)
        begin(name);
    else
        current_ = known->second;
}

void PathGathering::part() {
    Waypoints& points = gathered_[current_].path.points;
    if (!points.empty()) points.back().lit = false;
}

PathFault PathGathering::add(const StatedPoint& point) {
    if (++points_ > most_path_points)
        return fmt::format("is one point too many; allowed are {}", most_path_points);
    if (auto fault = fault_of_place(point.waypoint.at_m)) return fault;
    Gathered& gathered = gathered_[current_];
    if (point.time_s) {
        if (gathered.time_s && !(*point.time_s > *gathered.time_s))
            return fmt::format("has {} under time_s after {}; allowed are times that rise",
                               *point.time_s, *gathered.time_s);
        gathered.time_s = point.time_s;
    }
    Waypoints& points = gathered.path.points;
    if (!points.empty() && glm::distance(points.back().at_m, point.waypoint.at_m) < one_point_m)
        merge(points.back(), point.waypoint);
    else
        points.push_back(point.waypoint);
    return std::nullopt;
}

PathFileResult PathGathering::finished(const std::string& none_text) && {
    if (gathered_.empty()) return none_text;
    std::vector<FilePath> paths;
    for (Gathered& gathered : gathered_) {
        const std::size_t count = gathered.path.points.size();
        if (count < 2)
            return fmt::format(
                "its path {} has {}; allowed are two points and more, a millimetre "
                "apart and more",
                in_quotes(gathered.path.name), count == 0 ? "no point" : "one point");
        paths.push_back(std::move(gathered.path));
    }
    return paths;
}

}  // namespace lampflight
