#include "scene/flights/route.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace lampflight {
namespace {

/// asinh(x) / x.
double asinh_share(double x) {
    return std::abs(x) < 1e-8 ? 1.0 : std::asinh(x) / x;
}

/// First derivative of a turning piece by its angle.
Vec3 rate_at(const RoutePiece& piece, double theta) {
    const double radius_m = piece.radius_m + piece.growth_m * theta;
    const double c = std::cos(theta);
    const double s = std::sin(theta);
    return piece.growth_m * (c * piece.out + s * piece.onward) +
           radius_m * (c * piece.onward - s * piece.out) + piece.climb_m * piece.axis;
}

/// Way after an angle: the integral of sqrt(r^2 + d^2), with r = radius + growth theta and
/// d^2 = growth^2 + climb^2, is (r q + d^2 asinh(r / d)) / (2 growth), q = sqrt(r^2 + d^2). Its
/// difference between two radii is written without what cancels when the growth is small.
double way_after_m(const RoutePiece& piece, double theta) {
    const double growth = piece.growth_m;
    const double square = growth * growth + piece.climb_m * piece.climb_m;
    const double r0 = piece.radius_m;
    const double r1 = r0 + growth * theta;
    const double q0 = std::sqrt(r0 * r0 + square);
    const double q1 = std::sqrt(r1 * r1 + square);
    const double sum = q0 + q1;
    if (sum <= 0.0) return 0.0;
    double way_m = q1 + r0 * (r0 + r1) / sum;
    const double crossed = r1 * q0 + r0 * q1;
    if (crossed > 0.0) {
        const double mean = (r0 + r1) / crossed;
        way_m += square * mean * asinh_share(growth * theta * mean);
    } else {
        way_m += q0;  // all radii zero: climbs straight
    }
    return 0.5 * theta * way_m;
}

}  // namespace

double RoutePiece::turned_rad(double way_m) const {
    if (growth_m == 0.0) return way_m / std::hypot(radius_m, climb_m);
    double theta = length_m > 0.0 ? swept_rad * (way_m / length_m) : 0.0;
    for (int i = 0; i < 30; ++i) {  // Newton
        const double over_m = way_after_m(*this, theta) - way_m;
        const double rate_m = glm::length(rate_at(*this, theta));
        if (rate_m <= 0.0) break;
        theta = std::clamp(theta - over_m / rate_m, 0.0, swept_rad);
        if (std::abs(over_m) <= 1e-15 * length_m) break;
    }
    return theta;
}

Vec3 RoutePiece::position_m(double way_m) const {
    if (!turns()) return start_m + way_m * onward;
    const double theta = turned_rad(way_m);
    const double s = std::sin(theta);
    const double half = std::sin(0.5 * theta);
    // From the start, not from the centre, which may be far away.
    return start_m + (radius_m * s) * onward - (2.0 * radius_m * half * half) * out +
           (growth_m * theta) * (std::cos(theta) * out + s * onward) + (climb_m * theta) * axis;
}

Vec3 RoutePiece::tangent(double way_m) const {
    if (!turns()) return onward;
    const Vec3 rate = rate_at(*this, turned_rad(way_m));
    const double rate_m = glm::length(rate);
    return rate_m > 0.0 ? rate / rate_m : onward;
}

Vec3 RoutePiece::bend(double way_m) const {
    if (!turns()) return Vec3(0.0);
    const double theta = turned_rad(way_m);
    const Vec3 rate = rate_at(*this, theta);
    const double square = glm::dot(rate, rate);
    if (square <= 0.0) return Vec3(0.0);
    const double c = std::cos(theta);
    const double s = std::sin(theta);
    const Vec3 second = 2.0 * growth_m * (c * onward - s * out) -
                        (radius_m + growth_m * theta) * (c * out + s * onward);
    return (second - rate * (glm::dot(second, rate) / square)) / square;
}

RoutePiece RoutePiece::part(double from_m, double to_m) const {
    RoutePiece piece = *this;
    piece.start_m = position_m(from_m);
    piece.length_m = to_m - from_m;
    if (!turns()) return piece;
    const double theta = turned_rad(from_m);
    const double c = std::cos(theta);
    const double s = std::sin(theta);
    piece.out = c * out + s * onward;
    piece.onward = c * onward - s * out;
    piece.radius_m += growth_m * theta;
    piece.swept_rad = turned_rad(to_m) - theta;
    return piece;
}

RoutePiece straight_piece(const Vec3& from_m, const Vec3& to_m) {
    RoutePiece piece;
    piece.start_m = from_m;
    piece.length_m = glm::distance(from_m, to_m);
    if (piece.length_m > 0.0) piece.onward = (to_m - from_m) / piece.length_m;
    return piece;
}

RoutePiece turning_piece(const Vec3& centre_m, double radius_m, const Vec3& out, const Vec3& onward,
                         const Vec3& axis, double swept_rad, double growth_m, double climb_m) {
    RoutePiece piece{centre_m + radius_m * out, onward, out, axis, radius_m};
    if (swept_rad <= 0.0) return piece;
    piece.swept_rad = swept_rad;
    piece.growth_m = growth_m / swept_rad;
    piece.climb_m = climb_m / swept_rad;
    piece.length_m = way_after_m(piece, swept_rad);
    return piece;
}

Route::Route(std::vector<RoutePiece> pieces, std::vector<RouteStop> stops,
             std::vector<RouteLeg> legs)
    : pieces_(std::move(pieces)), stops_(std::move(stops)) {
    if (!pieces_.empty()) at_m_ = pieces_.front().start_m;
    for (const RoutePiece& piece : pieces_) edge_m_.push_back(edge_m_.back() + piece.length_m);
    if (!legs.empty()) legs_ = std::move(legs);
    legs_.back().to_m = length_m();
}

std::size_t Route::piece_at(double arc_m) const {
    const auto above = std::upper_bound(edge_m_.begin() + 1, edge_m_.end() - 1, arc_m);
    return static_cast<std::size_t>(above - edge_m_.begin()) - 1;
}

double Route::way_in(std::size_t piece, double arc_m) const {
    return std::clamp(arc_m - edge_m_[piece], 0.0, pieces_[piece].length_m);
}

Vec3 Route::position_m(double arc_m) const {
    if (pieces_.empty()) return at_m_;
    const std::size_t piece = piece_at(arc_m);
    return pieces_[piece].position_m(way_in(piece, arc_m));
}

Vec3 Route::tangent(double arc_m) const {
    if (pieces_.empty()) return Vec3(0.0);
    const std::size_t piece = piece_at(arc_m);
    return pieces_[piece].tangent(way_in(piece, arc_m));
}

Vec3 Route::bend(double arc_m) const {
    if (pieces_.empty()) return Vec3(0.0);
    const std::size_t piece = piece_at(arc_m);
    return pieces_[piece].bend(way_in(piece, arc_m));
}

RoutePiece piece_before(const Route& route, double length_m) {
    if (route.pieces().empty()) return {};
    const RoutePiece& first = route.pieces().front();
    if (first.turns() && first.growth_m == 0.0) return first.part(-length_m, 0.0);
    return straight_piece(first.start_m - length_m * first.tangent(0.0), first.start_m);
}

RoutePiece piece_after(const Route& route, double length_m) {
    if (route.pieces().empty()) return {};
    const RoutePiece& last = route.pieces().back();
    if (last.turns() && last.growth_m == 0.0)
        return last.part(last.length_m, last.length_m + length_m);
    const Vec3 end_m = last.end_m();
    return straight_piece(end_m, end_m + length_m * last.tangent(last.length_m));
}

Route extended(const Route& route, const Route& before, const Route& after) {
    std::vector<RoutePiece> pieces = before.pieces();
    std::vector<RouteStop> stops;
    std::vector<RouteLeg> legs;
    for (const RouteStop& stop : route.stops())
        stops.push_back({stop.piece + pieces.size(), stop.hold_s});
    if (before.length_m() > 0.0) legs.push_back({before.length_m(), std::nullopt, false});
    pieces.insert(pieces.end(), route.pieces().begin(), route.pieces().end());
    for (RouteLeg leg : route.legs()) {
        leg.to_m += before.length_m();
        legs.push_back(leg);
    }
    pieces.insert(pieces.end(), after.pieces().begin(), after.pieces().end());
    if (after.length_m() > 0.0) legs.push_back({0.0, std::nullopt, false});
    return Route(std::move(pieces), std::move(stops), std::move(legs));
}

}  // namespace lampflight
