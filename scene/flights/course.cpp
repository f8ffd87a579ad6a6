#include "scene/flights/course.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "scene/basics/angle.h"
#include "scene/flights/flight_shapes.h"
#include "scene/flights/nose.h"

namespace lampflight {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

/// The most speed varies by so much in a cell, or the cell is so short.
constexpr double most_spread = 1.02;
constexpr double shortest_cell_m = 2e-6;

/// A joint at which the nose turns by less is smooth.
constexpr double turned_rad = 1e-6;

/// A leg that ends so near to a joint ends there.
constexpr double near_m = 1e-8;

/// No limit is taken for slower than this, so that every flight ends.
constexpr double slowest_m_s = 1e-6;

struct Most {
    double speed_m_s = infinity;
    SpeedBound bound = SpeedBound::none;

    void hold(double speed, SpeedBound by) {
        if (speed < speed_m_s) *this = {speed, by};
    }
};

class Cutter {
public:
    Cutter(const Route& route, const Flight& flight)
        : route_(route),
          limits_(flight.limits.given() ? flight.limits : SpeedLimits{}),
          nose_(route, flight, centre_of(flight)) {
        yaws_ = limits_.yaw_deg_s && nose_.turns();
        blown_ = limits_.air_m_s && flight.wind_m_s != Vec3(0.0);
        wind_m_s_ = flight.wind_m_s;
    }

    /// The part of a piece that lies in one leg.
    void add(std::size_t index, double from_m, double to_m, const Most& leg) {
        piece_ = &route_.pieces()[index];
        base_m_ = route_.edge_m()[index];
        leg_ = leg;
        const bool varies = piece_->turns() ? !is_even() : yaws_ && nose_.looks_at_centre();
        const double turned = piece_->swept_rad * (to_m - from_m) / piece_->length_m;
        const int parts = varies ? std::max(2, static_cast<int>(turned * 24.0 / (2.0 * pi))) : 1;
        for (int i = 0; i < parts; ++i) {
            const double first_m = from_m + (to_m - from_m) * i / parts;
            const double last_m =
                i + 1 == parts ? to_m : from_m + (to_m - from_m) * (i + 1) / parts;
            if (varies)
                cut(first_m, last_m);
            else
                emit(last_m, most_at(0.5 * (first_m + last_m)), bend_at(first_m));
        }
    }

    void stop(double hold_s, double turn_rad) {
        const double turning_s = yaws_ ? std::abs(turn_rad) / radians(*limits_.yaw_deg_s) : 0.0;
        course_.stops.push_back({course_.cells(), std::max(hold_s, turning_s),
                                 turning_s > hold_s ? SpeedBound::yaw : SpeedBound::hold});
    }

    bool must_turn(double turn_rad) const { return yaws_ && std::abs(turn_rad) > turned_rad; }
    const NoseCourse& nose() const { return nose_; }

    Course course() && { return std::move(course_); }

private:
    /// An arc about a vertical axis looks the same all along, unless the nose looks elsewhere.
    bool is_even() const {
        if (piece_->growth_m != 0.0) return false;
        const bool level = std::abs(piece_->axis.z) >= 1.0 - 1e-12;
        const bool climbs = limits_.climb_m_s || limits_.descent_m_s;
        return !yaws_ && !blown_ && (level || !climbs);
    }

    double bend_at(double way_m) const { return glm::length(piece_->bend(way_m)); }

    Most most_at(double way_m) const {
        Most most = leg_;
        if (limits_.turning_m_s2)
            most.hold(std::sqrt(*limits_.turning_m_s2 / bend_at(way_m)), SpeedBound::turning);
        const Vec3 course = piece_->tangent(way_m);
        const double up = course.z;
        if (limits_.air_m_s)
            most.hold(most_over_ground_m_s(course, wind_m_s_, *limits_.air_m_s), SpeedBound::air);
        if (limits_.climb_m_s && up > 0.0) most.hold(*limits_.climb_m_s / up, SpeedBound::climb);
        if (limits_.descent_m_s && up < 0.0)
            most.hold(*limits_.descent_m_s / -up, SpeedBound::descent);
        if (yaws_)
            most.hold(radians(*limits_.yaw_deg_s) / nose_.rate(*piece_, way_m), SpeedBound::yaw);
        return most;
    }

    void cut(double from_m, double to_m) {
        constexpr std::size_t samples = 5;
        Most least;
        double slowest = infinity;
        double fastest = 0.0;
        double widest = 0.0;
        double bend = 0.0;
        double least_bend = infinity;
        double slack_m = infinity;
        for (std::size_t i = 0; i < samples; ++i) {
            const double way_m =
                from_m + (to_m - from_m) * static_cast<double>(i) / (samples - 1.0);
            const double here = bend_at(way_m);
            const Most most = most_at(way_m);
            // Beyond what bends or the limit of speed allow, variation does not matter.
            double allowed = std::min({most.speed_m_s, limits_.speed_m_s.value_or(1e3), 1e3});
            if (here > 0.0 && limits_.acceleration_m_s2)
                allowed = std::min(allowed, std::sqrt(*limits_.acceleration_m_s2 / here));
            slowest = std::min(slowest, allowed);
            fastest = std::max(fastest, allowed);
            widest = std::max(widest, most.speed_m_s);
            bend = std::max(bend, here);
            least_bend = std::min(least_bend, here);
            least.hold(most.speed_m_s, most.bound);
            if (yaws_) slack_m = std::min(slack_m, nose_.slack_m(*piece_, way_m));
        }
        // The nose may turn faster between two samples than at both.
        const double apart_m = (to_m - from_m) / (samples - 1.0);
        const bool hidden = yaws_ && apart_m > 0.05 * slack_m &&
                            radians(*limits_.yaw_deg_s) * (slack_m - apart_m) < slowest;
        // Where it binds, it must not dip between samples that something else holds down.
        const bool dips =
            least.speed_m_s <= most_spread * slowest && widest > most_spread * least.speed_m_s;
        if ((hidden || dips || fastest > most_spread * slowest) &&
            to_m - from_m > 2.0 * shortest_cell_m) {
            cut(from_m, 0.5 * (from_m + to_m));
            cut(0.5 * (from_m + to_m), to_m);
            return;
        }
        if (least.bound == SpeedBound::yaw)  // no slower than it takes to turn half round
            least.speed_m_s =
                std::max(least.speed_m_s, radians(*limits_.yaw_deg_s) * (to_m - from_m) / pi);
        const double turned = bend * apart_m;
        if (least.bound == SpeedBound::climb || least.bound == SpeedBound::descent ||
            least.bound == SpeedBound::air)
            // Steepest, or dead against the wind, between two samples.
            least.speed_m_s *= 1.0 - 0.125 * turned * turned;
        emit(to_m, least, bend + 0.02 * (bend - least_bend));
    }

    void emit(double to_m, const Most& most, double bend) {
        const double edge_m = base_m_ + to_m;
        if (edge_m <= course_.edge_m.back()) return;
        course_.edge_m.push_back(edge_m);
        course_.bend.push_back(bend);
        course_.most_m_s.push_back(std::max(most.speed_m_s, slowest_m_s));
        course_.bound.push_back(most.bound);
    }

    const Route& route_;
    SpeedLimits limits_;
    NoseCourse nose_;
    bool yaws_ = false;
    bool blown_ = false;
    Vec3 wind_m_s_{0.0};
    const RoutePiece* piece_ = nullptr;
    double base_m_ = 0.0;
    Most leg_{};
    Course course_{{0.0}, {}};
};

}  // namespace

double most_over_ground_m_s(const Vec3& course, const Vec3& wind_m_s, double air_m_s) {
    const double along_m_s = glm::dot(course, wind_m_s);
    const Vec3 across_m_s = wind_m_s - along_m_s * course;
    const double square = air_m_s * air_m_s - glm::dot(across_m_s, across_m_s);
    return square > 0.0 ? std::max(0.0, along_m_s + std::sqrt(square)) : 0.0;
}

double Course::held_s() const {
    double held_s = 0.0;
    for (const CourseStop& stop : stops) held_s += stop.hold_s;
    return held_s;
}

Course course_of(const Route& route, const Flight& flight, double otherwise_m_s) {
    Cutter cutter(route, flight);
    const std::vector<RoutePiece>& pieces = route.pieces();
    auto stop = route.stops().begin();
    auto leg = route.legs().begin();
    const auto last_leg = route.legs().end() - 1;
    for (std::size_t i = 0; i <= pieces.size(); ++i) {
        const double turn_rad = cutter.nose().turn_before(route, i);
        if (stop != route.stops().end() && stop->piece == i) {
            cutter.stop(stop->hold_s, turn_rad);
            ++stop;
        } else if (cutter.must_turn(turn_rad)) {
            cutter.stop(0.0, turn_rad);
        }
        if (i == pieces.size() || pieces[i].length_m <= 0.0) continue;
        double from_m = 0.0;
        while (from_m < pieces[i].length_m) {
            const double base_m = route.edge_m()[i];
            while (leg != last_leg && leg->to_m <= base_m + from_m + near_m) ++leg;
            const bool ends = leg == last_leg || leg->to_m - base_m >= pieces[i].length_m - near_m;
            const double to_m = ends ? pieces[i].length_m : leg->to_m - base_m;
            Most most;
            most.hold(leg->speed_m_s.value_or(otherwise_m_s), SpeedBound::leg_speed);
            cutter.add(i, from_m, to_m, most);
            from_m = to_m;
        }
    }
    return std::move(cutter).course();
}

}  // namespace lampflight
