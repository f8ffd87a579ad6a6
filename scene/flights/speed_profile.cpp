#include "scene/flights/speed_profile.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lampflight {
namespace {

/// Below this share of a turn over the whole course, curvature is rounding.
constexpr double straight_rad = 1e-6;

double most_bend(const Course& course) {
    if (course.bend.empty()) return 0.0;
    return *std::max_element(course.bend.begin(), course.bend.end());
}

/// The drone has come to an edge of cells: stands, if it stops there, and goes on as fast as
/// before.
class Stops {
public:
    explicit Stops(const Course& course) : course_(course) {}

    void at_edge(std::size_t edge, SpeedProfile& profile) {
        for (; next_ < course_.stops.size() && course_.stops[next_].edge == edge; ++next_) {
            const double hold_s = course_.stops[next_].hold_s;
            if (hold_s <= 0.0) continue;
            const double speed_m_s = profile.speed_m_s.back();
            const double arc_m = profile.arc_m.back();
            const double time_s = profile.time_s.back();
            if (speed_m_s != 0.0) profile.add(arc_m, time_s, 0.0);
            profile.add(arc_m, time_s + hold_s, 0.0);
            if (speed_m_s != 0.0) profile.add(arc_m, time_s + hold_s, speed_m_s);
        }
    }

private:
    const Course& course_;
    std::size_t next_ = 0;
};

}  // namespace

double SpeedProfile::top_speed_m_s() const {
    return *std::max_element(speed_m_s.begin(), speed_m_s.end());
}

SpeedProfile::Place SpeedProfile::place_at(double time) const {
    if (time_s.size() < 2) return {0, 0.0, 0.0};
    const double held_s = std::clamp(time, 0.0, duration_s());
    const auto above = std::upper_bound(time_s.begin() + 1, time_s.end() - 1, held_s);
    const auto i = static_cast<std::size_t>(above - time_s.begin()) - 1;
    const double lasts_s = time_s[i + 1] - time_s[i];
    const double gained_m_s = speed_m_s[i + 1] - speed_m_s[i];
    return {i, held_s - time_s[i], lasts_s > 0.0 ? gained_m_s / lasts_s : 0.0};
}

double SpeedProfile::arc_at_m(double time) const {
    const Place at = place_at(time);
    return arc_m[at.index] +
           at.since_s * (speed_m_s[at.index] + 0.5 * at.acceleration_m_s2 * at.since_s);
}

double SpeedProfile::speed_at_m_s(double time) const {
    const Place at = place_at(time);
    return speed_m_s[at.index] + at.acceleration_m_s2 * at.since_s;
}

double SpeedProfile::acceleration_at_m_s2(double time) const {
    return place_at(time).acceleration_m_s2;
}

double SpeedProfile::time_at_s(double arc) const {
    const auto above = std::lower_bound(arc_m.begin(), arc_m.end(), arc);
    if (above == arc_m.begin()) return 0.0;
    if (above == arc_m.end()) return time_at_s(arc_m.back());
    const auto i = static_cast<std::size_t>(above - arc_m.begin()) - 1;
    const double way_m = arc_m[i + 1] - arc_m[i];
    const double w0 = speed_m_s[i] * speed_m_s[i];
    const double w1 = speed_m_s[i + 1] * speed_m_s[i + 1];
    const double speed = std::sqrt(std::max(w0 + (w1 - w0) * ((arc - arc_m[i]) / way_m), 0.0));
    const double sum = speed + speed_m_s[i];
    const double since_s = sum > 0.0 ? 2.0 * (arc - arc_m[i]) / sum : 0.0;
    return std::min(time_s[i] + since_s, time_s[i + 1]);
}

void SpeedProfile::add(double arc, double time, double speed) {
    arc_m.push_back(arc);
    time_s.push_back(time);
    speed_m_s.push_back(speed);
}

void SpeedProfile::reserve(std::size_t nodes) {
    arc_m.reserve(nodes);
    time_s.reserve(nodes);
    speed_m_s.reserve(nodes);
}

void SpeedProfile::append(const SpeedProfile& next) {
    const double arc_before_m = arc_m.back();
    const double before_s = time_s.back();
    for (std::size_t i = 0; i < next.arc_m.size(); ++i)
        add(arc_before_m + next.arc_m[i], before_s + next.time_s[i], next.speed_m_s[i]);
    top_acceleration_m_s2 = std::max(top_acceleration_m_s2, next.top_acceleration_m_s2);
}

SpeedProfile even_speed(const Course& course, double cruise_m_s) {
    SpeedProfile profile;
    const bool straight = most_bend(course) * course.length_m() < straight_rad;
    Stops stops(course);
    for (std::size_t i = 0; i < course.cells(); ++i) {
        double speed_m_s = cruise_m_s;
        if (!course.most_m_s.empty()) speed_m_s = std::min(speed_m_s, course.most_m_s[i]);
        if (i == 0) profile.speed_m_s.back() = speed_m_s;
        stops.at_edge(i, profile);
        if (profile.speed_m_s.back() != speed_m_s)
            profile.add(course.edge_m[i], profile.time_s.back(), speed_m_s);
        const double way_m = course.edge_m[i + 1] - course.edge_m[i];
        profile.add(course.edge_m[i + 1], profile.time_s.back() + way_m / speed_m_s, speed_m_s);
        if (!straight)
            profile.top_acceleration_m_s2 =
                std::max(profile.top_acceleration_m_s2, speed_m_s * speed_m_s * course.bend[i]);
    }
    stops.at_edge(course.cells(), profile);
    return profile;
}

SpeedProfile limited_speed(const Course& course, const SpeedLimits& limits, double cruise_m_s,
                           EndSpeeds ends) {
    PhaseRoom room;
    return limited_speed(course, limits, cruise_m_s, ends, room);
}

SpeedProfile limited_speed(const Course& course, const SpeedLimits& limits, double cruise_m_s,
                           EndSpeeds ends, PhaseRoom& room) {
    if (course.length_m() <= 0.0) return even_speed(course, 0.0);
    const double cruise = std::min(cruise_m_s, most_cruise_m_s(course, limits, ends));
    const std::vector<PhaseNode>& nodes =
        phase_plane(course, *limits.acceleration_m_s2, cruise, ends, room);
    SpeedProfile profile;
    profile.reserve(nodes.size() + course.stops.size() + 1);
    Stops stops(course);
    profile.speed_m_s.back() = std::sqrt(nodes.front().square);
    stops.at_edge(0, profile);
    for (std::size_t i = 1; i < nodes.size(); ++i) {
        const PhaseNode& node = nodes[i];
        if (node.cell != nodes[i - 1].cell) stops.at_edge(node.cell, profile);
        const double step_m = node.arc_m - profile.arc_m.back();
        const double speed_m_s = std::sqrt(node.square);
        const double sum = speed_m_s + profile.speed_m_s.back();
        if (step_m <= 0.0 || sum <= 0.0) continue;
        const double along = (node.square - nodes[i - 1].square) / (2.0 * step_m);
        const double across = std::max(node.square, nodes[i - 1].square) * course.bend[node.cell];
        profile.top_acceleration_m_s2 =
            std::max(profile.top_acceleration_m_s2, std::hypot(along, across));
        profile.add(node.arc_m, profile.time_s.back() + 2.0 * step_m / sum, speed_m_s);
    }
    stops.at_edge(course.cells(), profile);
    return profile;
}

double limited_duration_s(const Course& course, const SpeedLimits& limits, double cruise_m_s,
                          EndSpeeds ends, PhaseRoom& room) {
    const double cruise = std::min(cruise_m_s, most_cruise_m_s(course, limits, ends));
    const std::vector<PhaseNode>& nodes =
        phase_plane(course, *limits.acceleration_m_s2, cruise, ends, room);
    double lasts_s = course.held_s();
    double before_m_s = std::sqrt(nodes.front().square);
    for (std::size_t i = 1; i < nodes.size(); ++i) {
        const double speed_m_s = std::sqrt(nodes[i].square);
        const double sum = before_m_s + speed_m_s;
        if (sum > 0.0) lasts_s += 2.0 * (nodes[i].arc_m - nodes[i - 1].arc_m) / sum;
        before_m_s = speed_m_s;
    }
    return lasts_s;
}

double most_cruise_m_s(const Course& course, const SpeedLimits& limits, EndSpeeds ends) {
    // From rest and back to rest, v^2 comes to no more than acceleration times length. Where it
    // comes flying and nothing else limits it, to what it reaches over the length from rest.
    const bool rests = ends.first_m_s <= 0.0 && ends.last_m_s <= 0.0;
    const double reached_m_s =
        std::sqrt((rests ? 1.0 : 2.0) * *limits.acceleration_m_s2 * course.length_m());
    return std::min(limits.speed_m_s.value_or(reached_m_s), reached_m_s);
}

double cruise_of_duration(const std::function<double(double)>& duration_of, double slow_m_s,
                          double fast_m_s, double duration_s) {
    double fast_over_s = duration_of(fast_m_s) - duration_s;
    if (fast_over_s >= 0.0 || slow_m_s <= 0.0) return fast_m_s;
    // By false position on 1 / cruise, in which the duration is nearly linear, halving the weight
    // of an end that stays (Illinois).
    const double near_s = 1e-12 * duration_s;
    double slow = 1.0 / slow_m_s;
    double fast = 1.0 / fast_m_s;
    double slow_over_s = duration_of(slow_m_s) - duration_s;
    if (slow_over_s <= near_s) return slow_m_s;
    int stayed = 0;
    for (int i = 0; i < 100; ++i) {
        const double middle =
            (slow * fast_over_s - fast * slow_over_s) / (fast_over_s - slow_over_s);
        const double over_s = duration_of(1.0 / middle) - duration_s;
        if (std::abs(over_s) <= near_s) return 1.0 / middle;
        if (over_s > 0.0) {
            slow = middle;
            slow_over_s = over_s;
            if (stayed == 1) fast_over_s *= 0.5;
            stayed = 1;
        } else {
            fast = middle;
            fast_over_s = over_s;
            if (stayed == -1) slow_over_s *= 0.5;
            stayed = -1;
        }
    }
    return 1.0 / fast;  // slower breaks no limit
}

void stretch_to(SpeedProfile& profile, double duration_s) {
    double standing_s = 0.0;
    for (std::size_t i = 1; i < profile.arc_m.size(); ++i)
        if (profile.arc_m[i] == profile.arc_m[i - 1])
            standing_s += profile.time_s[i] - profile.time_s[i - 1];
    const double moving_s = profile.duration_s() - standing_s;
    if (moving_s <= 0.0 || duration_s <= standing_s) return;
    const double factor = (duration_s - standing_s) / moving_s;
    double before_s = 0.0;
    for (std::size_t i = 1; i < profile.arc_m.size(); ++i) {
        const double lasts_s = profile.time_s[i] - before_s;
        before_s = profile.time_s[i];
        const bool moves = profile.arc_m[i] != profile.arc_m[i - 1];
        profile.time_s[i] = profile.time_s[i - 1] + (moves ? lasts_s * factor : lasts_s);
    }
    for (double& speed_m_s : profile.speed_m_s) speed_m_s /= factor;
    profile.time_s.back() = duration_s;
}

}  // namespace lampflight
