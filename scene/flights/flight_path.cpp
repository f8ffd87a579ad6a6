#include "scene/flights/flight_path.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

/// A place on the way is at a joint within this.
constexpr double at_joint_m = 1e-7;

double positive_angle(double angle_rad) {
    const double turned_rad = angle_rad - 2.0 * pi * std::floor(angle_rad / (2.0 * pi));
    return turned_rad < 2.0 * pi ? turned_rad : 0.0;
}

}  // namespace

FlightPath::FlightPath(const Flight& flight, double shutter_s, double begins_s)
    : plan_(plan_flight(flight, shutter_s)),
      begins_s_(begins_s),
      figure_centre_m_(centre_of(flight)),
      turns_(turns_of(flight)),
      nose_(plan_.route, flight, figure_centre_m_) {
    find_stretches();
    find_stands();
}

void FlightPath::find_stretches() {
    double from_m = 0.0;
    for (const RouteLeg& leg : plan_.route.legs()) {
        const bool alike = !stretches_.empty() && stretches_.back().lit == leg.lit &&
                           stretches_.back().aim == leg.aim;
        if (alike)
            stretches_.back().to_m = leg.to_m;
        else if (leg.to_m > from_m || plan_.route.length_m() <= 0.0)
            stretches_.push_back({from_m, leg.to_m, leg.lit, leg.aim});
        from_m = leg.to_m;
    }
}

void FlightPath::find_stands() {
    const SpeedProfile& speed = plan_.speed;
    const Route& route = plan_.route;
    for (const RouteStop& stop : route.stops())
        breaks_s_.push_back(begins_s_ + speed.time_at_s(route.edge_m()[stop.piece]));
    if (route.pieces().empty()) return;
    for (std::size_t i = 1; i < speed.arc_m.size(); ++i) {
        const bool stands =
            speed.arc_m[i] <= speed.arc_m[i - 1] && speed.time_s[i] > speed.time_s[i - 1];
        if (!stands) continue;
        breaks_s_.push_back(begins_s_ + speed.time_s[i - 1]);
        breaks_s_.push_back(begins_s_ + speed.time_s[i]);
        const std::size_t piece = route.piece_at(speed.arc_m[i] + at_joint_m);
        if (piece == 0 || std::abs(route.edge_m()[piece] - speed.arc_m[i]) > 2.0 * at_joint_m)
            continue;
        const double from_rad =
            nose_.bearing_rad(route, piece - 1, route.pieces()[piece - 1].length_m);
        standing_turns_.push_back({speed.time_s[i - 1], speed.time_s[i], from_rad,
                                   nose_.turn_before(route, piece), piece});
    }
    std::sort(breaks_s_.begin(), breaks_s_.end());
    const auto same = [](double one, double next) { return next - one <= 1e-9; };
    breaks_s_.erase(std::unique(breaks_s_.begin(), breaks_s_.end(), same), breaks_s_.end());
}

double FlightPath::length_m() const {
    return plan_.shape_to_m - plan_.shape_from_m;
}
double FlightPath::duration_s() const {
    return plan_.speed.duration_s();
}
double FlightPath::lap_s() const {
    return turns_ > 0.0 ? (plan_.shape_to_s - plan_.shape_from_s) / turns_ : 0.0;
}
double FlightPath::speed_m_s() const {
    const double lasts_s = plan_.shape_to_s - plan_.shape_from_s;
    return lasts_s > 0.0 ? length_m() / lasts_s : 0.0;
}
double FlightPath::top_speed_m_s() const {
    return plan_.speed.top_speed_m_s();
}
double FlightPath::top_acceleration_m_s2() const {
    return plan_.speed.top_acceleration_m_s2;
}
Vec3 FlightPath::centre_m() const {
    return figure_centre_m_;
}

double FlightPath::since_begin_s(double time_s) const {
    return std::clamp(time_s - begins_s_, 0.0, duration_s());
}
double FlightPath::flown_m(double time_s) const {
    return plan_.speed.arc_at_m(since_begin_s(time_s));
}
double FlightPath::flown_turns(double time_s) const {
    if (length_m() <= 0.0) return 0.0;
    const double flown = (flown_m(time_s) - plan_.shape_from_m) / length_m();
    return turns_ * std::clamp(flown, 0.0, 1.0);
}
double FlightPath::time_at_s(double arc_m) const {
    return begins_s_ + plan_.speed.time_at_s(arc_m);
}

Vec3 FlightPath::position_m(double time_s) const {
    return plan_.route.position_m(flown_m(time_s));
}
Vec3 FlightPath::velocity_m_s(double time_s) const {
    return direction(time_s) * plan_.speed.speed_at_m_s(since_begin_s(time_s));
}
Vec3 FlightPath::acceleration_m_s2(double time_s) const {
    const double since_s = time_s - begins_s_;
    if (since_s < 0.0 || since_s > duration_s()) return Vec3(0.0);
    const double arc_m = plan_.speed.arc_at_m(since_s);
    const double speed_m_s = plan_.speed.speed_at_m_s(since_s);
    return plan_.speed.acceleration_at_m_s2(since_s) * plan_.route.tangent(arc_m) +
           speed_m_s * speed_m_s * plan_.route.bend(arc_m);
}
Vec3 FlightPath::direction(double time_s) const {
    return plan_.route.tangent(flown_m(time_s));
}
double FlightPath::heading_rad(double time_s) const {
    return level_bearing(direction(time_s)).value_or(0.0);
}

double FlightPath::nose_rad(double time_s) const {
    const double since_s = since_begin_s(time_s);
    const auto after =
        std::upper_bound(standing_turns_.begin(), standing_turns_.end(), since_s,
                         [](double time, const StandingTurn& turn) { return time < turn.from_s; });
    if (after != standing_turns_.begin() && since_s <= (after - 1)->to_s) {
        const StandingTurn& turn = *(after - 1);
        const double share = (since_s - turn.from_s) / (turn.to_s - turn.from_s);
        return positive_angle(turn.from_rad + share * turn.by_rad);
    }
    if (plan_.route.pieces().empty()) return nose_.bearing_rad(plan_.route, 0, 0.0);
    const double arc_m = flown_m(time_s);
    // At a joint rounding must not tell the side.
    std::size_t piece = plan_.route.piece_at(arc_m);
    if (after != standing_turns_.begin()) piece = std::max(piece, (after - 1)->piece);
    if (after != standing_turns_.end()) piece = std::min(piece, after->piece - 1);
    return nose_.bearing_rad(plan_.route, piece, plan_.route.way_in(piece, arc_m));
}

}  // namespace lampflight
