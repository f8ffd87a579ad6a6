#include "scene/planning/closure.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/shoot/path_times.h"

namespace lampflight {
namespace {

constexpr double meets_within_m = 0.05;

/// A flight slower or faster than planned is where the plan is at another time.
struct Slowed {
    const FlightPath& path;
    double begins_s;
    double speed_share;

    double planned_s(double time_s) const { return begins_s + (time_s - begins_s) * speed_share; }
};

/// Whether the shape, a run-up aside, ends where it began.
bool comes_back(const Flight& flight, const FlightPath& path) {
    if (flight.shape == FlightShape::hover || path.length_m() <= 2.0 * meets_within_m) return false;
    const auto at_m = [&](double way_m) { return path.position_m(path.time_at_s(way_m)); };
    return glm::distance(at_m(path.shape_from_m()), at_m(path.shape_to_m())) <= meets_within_m;
}

}  // namespace

double whole_turns(double turns) {
    return std::max(1.0, std::round(turns));
}

std::optional<Closure> closure_of(const Flight& flight, const FlightPath& path, double shutter_s,
                                  double speed_share) {
    const PathTimes times = path_times(path, shutter_s);
    const Slowed slowed{path, times.begins_s, speed_share};
    const double from_s = slowed.planned_s(0.0), to_s = slowed.planned_s(shutter_s);
    if (closes(flight.shape)) {
        if (flight.turns < 1.0) return std::nullopt;  // an arc, meant to stay open
        const double planned = path.flown_turns(shutter_s) - path.flown_turns(0.0);
        const double turns = path.flown_turns(to_s) - path.flown_turns(from_s);
        const double deg = 360.0 * (turns - whole_turns(planned));
        return Closure{flight.radius_m * radians(std::abs(deg)), deg};
    }
    if (!comes_back(flight, path)) return std::nullopt;
    const auto in_shape_m = [&](double time_s) {
        return std::clamp(path.flown_m(time_s) - path.shape_from_m(), 0.0, path.length_m());
    };
    const double drawn_m = in_shape_m(to_s) - in_shape_m(from_s);
    return Closure{std::max(0.0, path.length_m() - drawn_m), std::nullopt};
}

}  // namespace lampflight
