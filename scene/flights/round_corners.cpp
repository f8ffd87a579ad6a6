#include "scene/flights/round_corners.h"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace lampflight {
namespace {

/// Turns smaller than this are straight on.
constexpr double straight_on_rad = 1e-9;

/// An arc narrower than this is a stop.
constexpr double narrowest_m = 1e-4;

/// What is left of a leg between two arcs is nothing below this.
constexpr double nothing_left_m = 1e-8;

/// Takes neighbours at the same place together: what the drone holds adds up, the leg is the
/// last's.
Waypoints apart_vertices(const Waypoints& vertices) {
    Waypoints apart;
    for (const Waypoint& vertex : vertices) {
        if (apart.empty() || glm::distance(apart.back().at_m, vertex.at_m) > same_place_m) {
            apart.push_back(vertex);
            continue;
        }
        Waypoint together = vertex;
        const Waypoint& before = apart.back();
        together.at_m = before.at_m;
        together.hold_s += before.hold_s;
        together.through = vertex.through && before.through;
        if (!together.corner_radius_m) together.corner_radius_m = before.corner_radius_m;
        apart.back() = together;
    }
    return apart;
}

/// A corner as it is flown.
struct Corner {
    bool stop = false;
    double turn_rad = 0.0;
    double radius_m = 0.0;   ///< 0 for straight on, or a stop
    double tangent_m = 0.0;  ///< of each leg, used by the arc
};

Corner corner_of(const Waypoint& vertex, const RoutePiece& in, const RoutePiece& out,
                 std::optional<double> corner_radius_m) {
    Corner corner;
    corner.turn_rad =
        std::atan2(glm::length(glm::cross(in.onward, out.onward)), glm::dot(in.onward, out.onward));
    const std::optional<double> radius_m =
        vertex.corner_radius_m ? vertex.corner_radius_m : corner_radius_m;
    corner.stop = vertex.hold_s > 0.0 || (!vertex.through && radius_m && *radius_m <= 0.0);
    if (corner.stop || corner.turn_rad < straight_on_rad) return corner;
    const double half_rad = 0.5 * corner.turn_rad;
    corner.tangent_m = 0.5 * std::min(in.length_m, out.length_m);
    if (!vertex.through) {
        const double sine = std::sin(0.5 * half_rad);
        // Vertex to arc: r (1 / cos(half) - 1).
        const double wanted_m = radius_m ? *radius_m * std::tan(half_rad)
                                         : corner_cut_m * std::sin(half_rad) / (2.0 * sine * sine);
        corner.tangent_m = std::min(corner.tangent_m, wanted_m);
    }
    corner.radius_m = corner.tangent_m / std::tan(half_rad);
    if (corner.radius_m < narrowest_m) corner = {true, corner.turn_rad, 0.0, 0.0};
    return corner;
}

RoutePiece arc_of(const Corner& corner, const Vec3& at_m, const Vec3& in, const Vec3& out) {
    const Vec3 across = out - glm::dot(out, in) * in;
    const Vec3 inward = across / glm::length(across);
    RoutePiece arc{at_m - corner.tangent_m * in, in, -inward, glm::cross(in, inward),
                   corner.radius_m};
    arc.swept_rad = corner.turn_rad;
    arc.length_m = corner.radius_m * corner.turn_rad;
    return arc;
}

/// What is left of a leg between the arcs at its ends.
RoutePiece shortened(const RoutePiece& leg, double before_m, double after_m) {
    RoutePiece rest = leg;
    rest.start_m += before_m * leg.onward;
    rest.length_m -= before_m + after_m;
    return rest;
}

}  // namespace

Route rounded_route(const Waypoints& vertices, std::optional<double> corner_radius_m) {
    const Waypoints apart = apart_vertices(vertices);
    if (apart.empty()) return Route();
    std::vector<RouteStop> stops;
    if (apart.front().hold_s > 0.0) stops.push_back({0, apart.front().hold_s});
    if (apart.size() == 1) {
        RoutePiece point;
        point.start_m = apart.front().at_m;
        return Route({point}, std::move(stops));
    }
    std::vector<RoutePiece> pieces;
    std::vector<RouteLeg> legs;
    pieces.reserve(2 * apart.size());
    legs.reserve(apart.size());
    double arc_m = 0.0;
    double used_m = 0.0;
    const auto add = [&](const RoutePiece& piece) {
        pieces.push_back(piece);
        arc_m += piece.length_m;
    };
    RoutePiece leg = straight_piece(apart[0].at_m, apart[1].at_m);
    for (std::size_t i = 0; i + 1 < apart.size(); ++i) {
        const bool last = i + 2 == apart.size();
        const RoutePiece next =
            last ? RoutePiece{} : straight_piece(apart[i + 1].at_m, apart[i + 2].at_m);
        const Corner corner = last ? Corner{} : corner_of(apart[i + 1], leg, next, corner_radius_m);
        const RoutePiece rest = shortened(leg, used_m, corner.tangent_m);
        if (rest.length_m > nothing_left_m) add(rest);
        double leg_end_m = arc_m;
        if (corner.radius_m > 0.0) {
            add(arc_of(corner, apart[i + 1].at_m, leg.onward, next.onward));
            leg_end_m = 0.5 * (leg_end_m + arc_m);
        }
        if (corner.stop) stops.push_back({pieces.size(), apart[i + 1].hold_s});
        legs.push_back({leg_end_m, apart[i].speed_m_s, apart[i].lit, apart[i].aim});
        used_m = corner.tangent_m;
        leg = next;
    }
    if (apart.back().hold_s > 0.0) stops.push_back({pieces.size(), apart.back().hold_s});
    return Route(std::move(pieces), std::move(stops), std::move(legs));
}

}  // namespace lampflight
