#include "scene/flights/flight_shapes.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/flights/round_corners.h"

namespace lampflight {
namespace {

Vec3 line_start_m(const Flight& flight) {
    return flight.from_m.value_or(Vec3(0.0));
}
Vec3 line_end_m(const Flight& flight) {
    return flight.to_m.value_or(line_start_m(flight));
}

double swept_rad(const Flight& flight) {
    return 2.0 * pi * turns_of(flight);
}

RoutePiece level_turn(const Flight& flight, double growth_m, double rise_m) {
    const double start_rad = radians(flight.start_bearing_deg);
    const double aside_rad = flight.clockwise ? 0.5 * pi : -0.5 * pi;
    return turning_piece({flight.centre_m, flight.height_m}, flight.radius_m,
                         direction_of(start_rad), direction_of(start_rad + aside_rad),
                         {0.0, 0.0, 1.0}, swept_rad(flight), growth_m, rise_m);
}

/// The plane of what stands up, seen by someone who stands before its face and looks at it.
struct Face {
    explicit Face(const Flight& flight) {
        const double facing_rad = radians(flight.facing_deg.value_or(180.0));
        const double tilt_rad = radians(flight.tilt_deg);
        right = direction_of(facing_rad - 0.5 * pi);
        top = std::cos(tilt_rad) * Vec3(0.0, 0.0, 1.0) -
              std::sin(tilt_rad) * direction_of(facing_rad);
    }
    Vec3 at_clock(double clock_rad) const {
        return std::sin(clock_rad) * right + std::cos(clock_rad) * top;
    }
    Vec3 right, top;
};

RoutePiece ring_turn(const Flight& flight) {
    const Face face(flight);
    const double start_rad = radians(flight.start_clock_deg);
    const double aside_rad = flight.clockwise ? 0.5 * pi : -0.5 * pi;
    const Vec3 out = face.at_clock(start_rad);
    const Vec3 onward = face.at_clock(start_rad + aside_rad);
    return turning_piece({flight.centre_m, flight.height_m}, flight.radius_m, out, onward,
                         glm::cross(out, onward), swept_rad(flight), 0.0, 0.0);
}

Waypoint corner_at(const Vec3& at_m) {
    Waypoint corner;
    corner.at_m = at_m;
    return corner;
}

Waypoints star_corners(const Flight& flight) {
    const Face face(flight);
    const Vec3 centre_m(flight.centre_m, flight.height_m);
    const int corners = 2 * std::max(flight.tips, 2);
    const double step_rad = 2.0 * pi / corners * (flight.clockwise ? 1.0 : -1.0);
    // The field's default is a ring's, which starts lowest; a star starts at its top.
    const double start_rad = radians(flight.start_clock_deg + 180.0);
    const double inner_m = inner_radius_of(flight);
    Waypoints path;
    for (int i = 0; i < corners; ++i)
        path.push_back(corner_at(centre_m + (i % 2 == 0 ? flight.radius_m : inner_m) *
                                                face.at_clock(start_rad + step_rad * i)));
    path.push_back(path.front());
    return path;
}

Waypoints sweep_corners(const Flight& flight) {
    const double bearing_rad = radians(flight.bearing_deg);
    const Vec3 along = 0.5 * flight.length_m * direction_of(bearing_rad);
    const Vec3 right = flight.lane_m * direction_of(bearing_rad + 0.5 * pi);
    const Vec3 centre_m(flight.centre_m, flight.height_m);
    const int lanes = lanes_of(flight);
    Waypoints path;
    for (int i = 0; i < lanes; ++i) {
        const Vec3 middle_m = centre_m + (i - 0.5 * (lanes - 1)) * right;
        const Vec3 ahead = i % 2 == 0 ? along : -along;
        path.push_back(corner_at(middle_m - ahead));
        path.push_back(corner_at(middle_m + ahead));
    }
    return path;
}

Vec3 middle_of(const Waypoints& path) {
    if (path.empty()) return Vec3(0.0);
    Vec3 low = path.front().at_m;
    Vec3 high = low;
    for (const Waypoint& vertex : path) {
        low = glm::min(low, vertex.at_m);
        high = glm::max(high, vertex.at_m);
    }
    return 0.5 * (low + high);
}

}  // namespace

Route route_of(const Flight& flight) {
    switch (flight.shape) {
        case FlightShape::circle:
            return Route({level_turn(flight, 0.0, 0.0)});
        case FlightShape::helix:
            return Route({level_turn(flight, 0.0, flight.rise_m)});
        case FlightShape::spiral:
            return Route(
                {level_turn(flight, flight.end_radius_m - flight.radius_m, flight.rise_m)});
        case FlightShape::ring:
            return Route({ring_turn(flight)});
        case FlightShape::line:
            return Route({straight_piece(line_start_m(flight), line_end_m(flight))});
        case FlightShape::star:
            return rounded_route(star_corners(flight), flight.corner_radius_m);
        case FlightShape::sweep:
            return rounded_route(sweep_corners(flight), flight.corner_radius_m);
        case FlightShape::waypoints:
        case FlightShape::figure:
            return rounded_route(flight.path, flight.corner_radius_m);
        case FlightShape::hover:
            break;
    }
    return Route({flight.centre_m, flight.height_m});
}

int lanes_of(const Flight& flight) {
    if (flight.lane_m <= 0.0) return 1;
    const double lanes = 1.0 + std::floor(std::max(flight.width_m, 0.0) / flight.lane_m + 1e-9);
    return static_cast<int>(std::min(lanes, 1.0 * most_lanes));
}

double inner_radius_of(const Flight& flight) {
    if (flight.inner_radius_m) return *flight.inner_radius_m;
    if (flight.tips < 5) return 0.5 * flight.radius_m;
    return flight.radius_m * std::cos(2.0 * pi / flight.tips) / std::cos(pi / flight.tips);
}

Vec3 centre_of(const Flight& flight) {
    if (flight.shape == FlightShape::line) return 0.5 * (line_start_m(flight) + line_end_m(flight));
    if (flight.shape == FlightShape::waypoints) return middle_of(flight.path);
    const bool rises = flight.shape == FlightShape::helix || flight.shape == FlightShape::spiral;
    return {flight.centre_m, flight.height_m + (rises ? 0.5 * flight.rise_m : 0.0)};
}

double turns_of(const Flight& flight) {
    switch (flight.shape) {
        case FlightShape::circle:
        case FlightShape::ring:
        case FlightShape::helix:
        case FlightShape::spiral:
            return std::max(flight.turns, 0.0);
        default:
            return 1.0;
    }
}

bool closes(FlightShape shape) {
    return shape == FlightShape::circle || shape == FlightShape::ring || shape == FlightShape::star;
}

bool is_drawn(FlightShape shape) {
    return shape == FlightShape::star || shape == FlightShape::sweep ||
           shape == FlightShape::waypoints || shape == FlightShape::figure;
}

bool ends_where_it_began(const Flight& flight) {
    constexpr double near_m = 0.01;
    if (flight.shape == FlightShape::hover) return false;
    const bool drawn =
        flight.shape == FlightShape::waypoints || flight.shape == FlightShape::figure;
    if (!drawn) {
        const Route route = route_of(flight);
        return route.length_m() > near_m &&
               glm::distance(route.position_m(0.0), route.position_m(route.length_m())) <= near_m;
    }
    const Waypoints& path = flight.path;
    return path.size() > 2 && glm::distance(path.front().at_m, path.back().at_m) <= near_m;
}

}  // namespace lampflight
