// Route: where a flight leads, a row of straight and turning pieces told by their arc length.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "scene/basics/vector.h"
#include "scene/lamps/aim.h"

namespace lampflight {

/// A straight piece, or one that turns about an axis while its radius grows and it climbs along
/// that axis, both evenly: an arc, a turn of a helix, of an Archimedean spiral. With theta the
/// angle turned: centre + r (cos(theta) out + sin(theta) onward) + climb theta axis, r = radius +
/// growth theta. It can be followed beyond its ends.
struct RoutePiece {
    Vec3 start_m{0.0};
    Vec3 onward{0.0};  ///< unit, where it leads from its start, but for growth and climb
    Vec3 out{0.0};     ///< unit, from the centre to its start; turning ones only
    Vec3 axis{0.0};    ///< unit
    double radius_m = 0.0;
    double growth_m = 0.0;  ///< of the radius, for each radian
    double climb_m = 0.0;   ///< along the axis, for each radian
    double swept_rad = 0.0;
    double length_m = 0.0;

    bool turns() const { return swept_rad > 0.0; }

    /// Angle turned after a way; exact to rounding.
    double turned_rad(double way_m) const;
    Vec3 position_m(double way_m) const;
    Vec3 tangent(double way_m) const;  ///< unit
    Vec3 bend(double way_m) const;     ///< curvature, 1/m, towards the centre of the bend
    Vec3 end_m() const { return position_m(length_m); }

    /// The part of it between two ways.
    RoutePiece part(double from_m, double to_m) const;
};

RoutePiece straight_piece(const Vec3& from_m, const Vec3& to_m);

/// Turning, begun at `centre_m + radius_m * out`, in the direction `onward`, both unit and at right
/// angles, as `axis` is to them; `growth_m` and `climb_m` over the whole of it.
RoutePiece turning_piece(const Vec3& centre_m, double radius_m, const Vec3& out, const Vec3& onward,
                         const Vec3& axis, double swept_rad, double growth_m, double climb_m);

/// A place where the drone is at rest: between two pieces, where the course may be sharp, or an
/// end.
struct RouteStop {
    std::size_t piece = 0;  ///< that begins there; the number of pieces at the very end
    double hold_s = 0.0;
};

/// What holds along a way.
struct RouteLeg {
    double to_m = 0.0;
    std::optional<double> speed_m_s{};
    bool lit = true;
    std::optional<Aim> aim{};
};

class Route {
public:
    /// A point.
    explicit Route(const Vec3& at_m = Vec3(0.0)) : at_m_(at_m) {}

    /// `stops` and `legs` rising; one leg like any other where none are given.
    explicit Route(std::vector<RoutePiece> pieces, std::vector<RouteStop> stops = {},
                   std::vector<RouteLeg> legs = {});

    double length_m() const { return edge_m_.back(); }
    const std::vector<RoutePiece>& pieces() const { return pieces_; }
    const std::vector<double>& edge_m() const { return edge_m_; }  ///< first 0, last the length
    const std::vector<RouteStop>& stops() const { return stops_; }
    const std::vector<RouteLeg>& legs() const { return legs_; }

    /// All by arc length, held to the ends; at a joint of the piece after it.
    Vec3 position_m(double arc_m) const;
    Vec3 tangent(double arc_m) const;  ///< unit; 0 for a point
    Vec3 bend(double arc_m) const;     ///< curvature, 1/m

    /// Of the piece at an arc length; there must be one.
    std::size_t piece_at(double arc_m) const;
    double way_in(std::size_t piece, double arc_m) const;

private:
    Vec3 at_m_{0.0};
    std::vector<RoutePiece> pieces_;
    std::vector<double> edge_m_{0.0};
    std::vector<RouteStop> stops_;
    std::vector<RouteLeg> legs_{RouteLeg{}};
};

/// What leads to a route's start, or on from its end, for a length: on round where it turns evenly,
/// else straight. Of a point: nothing, which has no length.
RoutePiece piece_before(const Route& route, double length_m);
RoutePiece piece_after(const Route& route, double length_m);

/// A route with others before and after it, those dark.
Route extended(const Route& route, const Route& before, const Route& after);

}  // namespace lampflight
