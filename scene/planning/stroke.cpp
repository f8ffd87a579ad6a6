#include "scene/planning/stroke.h"

#include <algorithm>
#include <cmath>

#include "scene/camera/trail_width.h"
#include "scene/shoot/path_times.h"

namespace lampflight {
namespace {

constexpr double lines_in_side = 10.0, least_in_side = 3.0;
constexpr double lines_in_detail = 3.0, least_in_detail = 1.0;

/// A lamp that touches the lens is imaged as if this far away.
constexpr double nearest_m = 0.05;

/// Keeps the finest of the legs that are shown to it, in line widths.
class FinestLeg {
public:
    explicit FinestLeg(const Stroke& stroke) : stroke_(stroke), projection_(stroke.camera) {}

    /// Along straight pieces from corner to corner.
    void look_at(const std::vector<Vec3>& leg_m) {
        double leg_px = 0.0, width_px = 0.0;
        for (std::size_t i = 0; i < leg_m.size(); ++i) {
            const std::optional<double> width = stroke_.width_px(leg_m[i]);
            const std::optional<Vec2> here = projection_.film_px(leg_m[i]);
            if (!width || !here) return;
            width_px = std::max(width_px, *width);
            if (i > 0) leg_px += glm::distance(*here, *projection_.film_px(leg_m[i - 1]));
        }
        const double lines = leg_px / width_px;
        if (!finest_ || lines < *finest_) finest_ = lines;
    }

    std::optional<double> finest() const { return finest_; }

private:
    const Stroke& stroke_;
    Projection projection_;
    std::optional<double> finest_;
};

/// Where a share of the way has been flown.
Vec3 place_at(const std::vector<FlownPoint>& flown, double share) {
    const auto after = std::lower_bound(
        flown.begin(), flown.end(), share,
        [](const FlownPoint& point, double sought) { return point.share < sought; });
    if (after == flown.begin()) return flown.front().at_m;
    if (after == flown.end()) return flown.back().at_m;
    const FlownPoint& before = *(after - 1);
    const double within = (share - before.share) / (after->share - before.share);
    return glm::mix(before.at_m, after->at_m, within);
}

/// Legs of a path between its corners, along the points of its curves.
void look_at_corners(const Waypoints& path, FinestLeg& legs) {
    constexpr double no_way_m = 1e-6;
    std::vector<Vec3> leg_m;
    double way_m = 0.0;
    bool lit = true;
    for (const Waypoint& point : path) {
        if (!leg_m.empty()) way_m += glm::distance(leg_m.back(), point.at_m);
        leg_m.push_back(point.at_m);
        if (!point.through) {
            if (leg_m.size() > 1 && lit && way_m > no_way_m) legs.look_at(leg_m);
            leg_m = {point.at_m};
            way_m = 0.0;
            lit = true;
        }
        lit = lit && point.lit;
    }
}

/// Stretches of a way, each of this share of it: the sides of a regular figure.
void look_at_sides(const std::vector<FlownPoint>& flown, int sides, FinestLeg& legs) {
    for (int i = 0; i < sides; ++i)
        legs.look_at({place_at(flown, static_cast<double>(i) / sides),
                      place_at(flown, static_cast<double>(i + 1) / sides)});
}

void look_between_turns(const std::vector<FlownPoint>& flown, double turns, FinestLeg& legs) {
    constexpr int places = 720;
    const double turn = 1.0 / turns;
    for (int i = 0; i <= places; ++i) {
        const double share = (1.0 - turn) * i / places;
        legs.look_at({place_at(flown, share), place_at(flown, share + turn)});
    }
}

}  // namespace

Legibility legibility(const Extents& figure_px, double line_px,
                      std::optional<double> detail_lines) {
    const double side = figure_px.shorter / line_px;
    const double detail = detail_lines.value_or(lines_in_detail);
    if (side < least_in_side || detail < least_in_detail) return Legibility::blot;
    if (side < lines_in_side || detail < lines_in_detail) return Legibility::coarse;
    return Legibility::legible;
}

std::vector<FlownPoint> flown_points(const FlightPath& path, double shutter_s) {
    const PathTimes times = path_times(path, shutter_s);
    const double turns = path.lap_s() > 0.0 ? path.duration_s() / path.lap_s() : 1.0;
    const auto steps = static_cast<std::size_t>(std::clamp(256.0 * turns, 4096.0, 131072.0));
    const double length_m = path.length_m();
    std::vector<FlownPoint> points;
    points.reserve(steps + 1);
    for (std::size_t i = 0; i <= steps; ++i) {
        const double done = static_cast<double>(i) / static_cast<double>(steps);
        const double time_s = times.begins_s + (times.ends_s - times.begins_s) * done;
        points.push_back({time_s, path.position_m(time_s),
                          length_m > 0.0 ? path.flown_m(time_s) / length_m : 0.0});
    }
    return points;
}

std::optional<double> Stroke::width_px(const Vec3& at_m) const {
    const double depth_m = Projection(camera).depth_m(at_m);
    if (depth_m <= 0.0) return std::nullopt;
    return line_width_px(camera, f_number, face_m, std::max(depth_m, nearest_m));
}

std::optional<double> finest_detail_lines(const Flight& flight, const FlightPath& path,
                                          const std::vector<FlownPoint>& flown,
                                          const Stroke& stroke) {
    FinestLeg legs(stroke);
    const double turns = path.lap_s() > 0.0 ? path.duration_s() / path.lap_s() : 1.0;
    switch (flight.shape) {
        case FlightShape::waypoints:
        case FlightShape::figure:
            look_at_corners(flight.path, legs);
            break;
        case FlightShape::star:
            look_at_sides(flown, 2 * flight.tips, legs);
            break;
        case FlightShape::helix:
        case FlightShape::spiral:
            if (turns > 1.0) look_between_turns(flown, turns, legs);
            break;
        default:
            break;
    }
    return legs.finest();
}

}  // namespace lampflight
