#include "scene/flights/nose.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

/// A share of a piece inside its ends, where a bearing is told that its very end does not have.
constexpr double just_inside = 1e-7;

std::optional<double> course_bearing(const RoutePiece& piece, double way_m) {
    if (const auto bearing_rad = level_bearing(piece.tangent(way_m))) return bearing_rad;
    if (!piece.turns()) return std::nullopt;
    const double inside_m = just_inside * piece.length_m;
    return level_bearing(
        piece.tangent(way_m < 0.5 * piece.length_m ? way_m + inside_m : way_m - inside_m));
}

/// Ways at which a piece is cut, between its ends.
std::vector<double> cuts_of(const RoutePiece& piece, Nose nose, const Vec3& centre_m) {
    std::vector<double> cuts;
    if (nose == Nose::centre && !piece.turns()) {
        const Vec2 course(piece.onward);
        const Vec2 to_centre = Vec2(centre_m) - Vec2(piece.start_m);
        const double level = glm::dot(course, course);
        if (level <= 1e-18) return cuts;
        const double way_m = glm::dot(to_centre, course) / level;
        if (glm::length(to_centre - way_m * course) < 1e-6) cuts.push_back(way_m);
    }
    const bool upright = piece.turns() && piece.growth_m == 0.0 && piece.climb_m == 0.0 &&
                         std::abs(piece.axis.z) < 1e-6;
    if (upright) {
        // The level direction in its plane, and how far the wanted places lie along it, in radii.
        const Vec3 level = glm::normalize(glm::cross(piece.axis, Vec3(0.0, 0.0, 1.0)));
        const double along = glm::dot(piece.out, level);
        const double phase = std::atan2(glm::dot(piece.onward, level), along);
        // Ahead: where it climbs straight. Centre: above or below it.
        std::array<double, 2> angles{phase, phase + pi};
        if (nose == Nose::centre) {
            const Vec3 apart = centre_m - piece.start_m;
            const double off = glm::dot(apart, level) / piece.radius_m + along;
            if (std::abs(glm::dot(apart, piece.axis)) > 1e-6 || std::abs(off) > 1.0) return cuts;
            angles = {phase + std::acos(off), phase - std::acos(off)};
        }
        for (const double angle : angles) {
            double theta = angle - 2.0 * pi * std::floor(angle / (2.0 * pi));
            for (; theta < piece.swept_rad; theta += 2.0 * pi)
                cuts.push_back(piece.radius_m * theta);
        }
        std::sort(cuts.begin(), cuts.end());
    }
    const double end_m = std::max(1e-6, 1e-9 * piece.length_m);
    std::erase_if(cuts,
                  [&](double way_m) { return way_m <= end_m || way_m >= piece.length_m - end_m; });
    return cuts;
}

}  // namespace

std::optional<double> level_bearing(const Vec3& direction) {
    if (std::hypot(direction.x, direction.y) <= 1e-9) return std::nullopt;
    return bearing_of(direction);
}

double turn_between(double from_rad, double to_rad) {
    return std::remainder(to_rad - from_rad, 2.0 * pi);
}

NoseCourse::NoseCourse(const Route& route, const Flight& flight, const Vec3& centre_m)
    : nose_(flight.nose), kept_rad_(radians(flight.nose_deg)), centre_m_(centre_m) {
    kept_rad_ -= 2.0 * pi * std::floor(kept_rad_ / (2.0 * pi));
    if (nose_ == Nose::kept) return;
    const std::vector<RoutePiece>& pieces = route.pieces();
    std::optional<double> last_rad;
    for (const RoutePiece& piece : pieces) {
        if (!last_rad) last_rad = course_bearing(piece, 0.0);
        held_rad_.push_back(last_rad.value_or(kept_rad_));
        if (const auto end_rad = course_bearing(piece, piece.length_m)) last_rad = end_rad;
    }
    // Before the first bearing that the course tells, the nose waits for it.
    std::size_t first = 0;
    while (first < pieces.size() && !course_bearing(pieces[first], 0.0)) ++first;
    for (std::size_t i = 0; first < pieces.size() && i < first; ++i)
        held_rad_[i] = held_rad_[first];
}

double NoseCourse::bearing_rad(const Route& route, std::size_t piece, double way_m) const {
    if (nose_ == Nose::kept) return kept_rad_;
    if (nose_ == Nose::centre) {
        const Vec3 at_m = route.pieces().empty() ? route.position_m(0.0)
                                                 : route.pieces()[piece].position_m(way_m);
        Vec3 to_centre = centre_m_ - at_m;
        if (std::hypot(to_centre.x, to_centre.y) < 2e-6 && !route.pieces().empty()) {
            // Above it: as just before, or just after.
            const RoutePiece& here = route.pieces()[piece];
            const double side = way_m > 0.5 * here.length_m ? 1.0 : -1.0;
            to_centre = side * here.tangent(way_m);
        }
        if (const auto bearing = level_bearing(to_centre)) return *bearing;
        return held_rad_.empty() ? kept_rad_ : held_rad_[piece];
    }
    if (route.pieces().empty()) return kept_rad_;
    return course_bearing(route.pieces()[piece], way_m).value_or(held_rad_[piece]);
}

double NoseCourse::turn_before(const Route& route, std::size_t piece) const {
    if (nose_ == Nose::kept || piece == 0 || piece >= route.pieces().size()) return 0.0;
    return turn_between(bearing_rad(route, piece - 1, route.pieces()[piece - 1].length_m),
                        bearing_rad(route, piece, 0.0));
}

double NoseCourse::rate(const RoutePiece& piece, double way_m) const {
    if (nose_ == Nose::kept) return 0.0;
    const Vec3 along = piece.tangent(way_m);
    // The vector whose bearing it is, and how it changes with the way.
    const bool ahead = nose_ == Nose::ahead;
    const Vec3 looks = ahead ? along : centre_m_ - piece.position_m(way_m);
    const Vec3 changes = ahead ? piece.bend(way_m) : -along;
    const double level = looks.x * looks.x + looks.y * looks.y;
    const double crossed = std::abs(looks.x * changes.y - looks.y * changes.x);
    return crossed > 0.0 ? crossed / level : 0.0;
}

double NoseCourse::slack_m(const RoutePiece& piece, double way_m) const {
    if (nose_ == Nose::centre) {
        const Vec3 apart = centre_m_ - piece.position_m(way_m);
        return std::hypot(apart.x, apart.y);
    }
    const Vec3 along = piece.tangent(way_m);
    const double bend = glm::length(piece.bend(way_m));
    const bool turns = nose_ == Nose::ahead && bend > 0.0;
    return turns ? std::hypot(along.x, along.y) / bend : std::numeric_limits<double>::infinity();
}

Route cut_for_nose(const Route& route, const Flight& flight, const Vec3& centre_m) {
    std::vector<RoutePiece> pieces;
    std::vector<RouteStop> stops;
    auto stop = route.stops().begin();
    const auto take_stops = [&](std::size_t up_to) {
        for (; stop != route.stops().end() && stop->piece <= up_to; ++stop)
            stops.push_back({pieces.size(), stop->hold_s});
    };
    for (std::size_t i = 0; i < route.pieces().size(); ++i) {
        take_stops(i);
        const RoutePiece& piece = route.pieces()[i];
        double from_m = 0.0;
        for (const double way_m : cuts_of(piece, flight.nose, centre_m)) {
            pieces.push_back(piece.part(from_m, way_m));
            from_m = way_m;
        }
        pieces.push_back(from_m > 0.0 ? piece.part(from_m, piece.length_m) : piece);
    }
    take_stops(route.pieces().size());
    if (pieces.empty()) return route;
    return Route(std::move(pieces), std::move(stops), route.legs());
}

}  // namespace lampflight
