#include "scene/flights/flight_path.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

constexpr double default_lap_s = 25.0;

/// Step in parameter of the differences below: the same part of a turn for many turns as for one.
double difference_step(double turns) {
    return 1e-3 / std::max(turns, 1.0);
}

/// First derivative by central differences of fourth order.
Vec3 tangent(const Curve& curve, double parameter, double step) {
    const Vec3 near = curve(parameter + step) - curve(parameter - step);
    const Vec3 far = curve(parameter + 2.0 * step) - curve(parameter - 2.0 * step);
    return (8.0 * near - far) / (12.0 * step);
}

/// Curvature in 1/m: |c' x c''| / |c'|^3.
double curvature(const Curve& curve, double parameter, double step) {
    const Vec3 first = tangent(curve, parameter, step);
    const double rate = glm::length(first);
    if (rate == 0.0) return 0.0;
    const Vec3 here = curve(parameter);
    const Vec3 near = curve(parameter + step) - 2.0 * here + curve(parameter - step);
    const Vec3 far = curve(parameter + 2.0 * step) - 2.0 * here + curve(parameter - 2.0 * step);
    const Vec3 second = (16.0 * near - far) / (12.0 * step * step);
    return glm::length(glm::cross(first, second)) / (rate * rate * rate);
}

/// Arc length up to each of the evenly spaced parameters. Each interval from its chord and its two
/// half chords, extrapolated (Richardson), which is exact to the fourth power of the interval.
std::vector<double> arc_table(const Curve& curve, std::size_t intervals) {
    std::vector<double> arc_m(intervals + 1, 0.0);
    Vec3 last = curve(0.0);
    for (std::size_t i = 1; i <= intervals; ++i) {
        const double end = static_cast<double>(i) / static_cast<double>(intervals);
        const Vec3 middle = curve(end - 0.5 / static_cast<double>(intervals));
        const Vec3 next = curve(end);
        const double halves_m = glm::distance(last, middle) + glm::distance(middle, next);
        arc_m[i] = arc_m[i - 1] + (4.0 * halves_m - glm::distance(last, next)) / 3.0;
        last = next;
    }
    return arc_m;
}

/// The arc table as a course, its intervals taken together to some hundreds of cells.
Course course_of(const Curve& curve, const std::vector<double>& arc_m, double turns) {
    constexpr std::size_t most_cells = 512;
    const std::size_t intervals = arc_m.size() - 1;
    const std::size_t every = (intervals + most_cells - 1) / most_cells;
    const auto bend_at = [&](std::size_t i) {
        return curvature(curve, static_cast<double>(i) / static_cast<double>(intervals),
                         difference_step(turns));
    };
    Course course{{0.0}, {}};
    double before = bend_at(0);
    for (std::size_t i = 0; i < intervals;) {
        i = std::min(i + every, intervals);
        const double here = bend_at(i);
        course.edge_m.push_back(arc_m[i]);
        course.bend.push_back(std::max(before, here));
        before = here;
    }
    return course;
}

SpeedProfile profile_of(const Flight& flight, const Course& course, double shutter_s) {
    const std::optional<double> wanted_s = wanted_duration_s(flight, shutter_s);
    if (flight.limits.given())
        return wanted_s ? limited_duration(course, flight.limits, *wanted_s)
                        : limited_speed(course, flight.limits, *flight.speed_m_s);
    return even_speed(course, wanted_s ? *wanted_s : course.length_m() / *flight.speed_m_s);
}

}  // namespace

std::optional<double> wanted_duration_s(const Flight& flight, double shutter_s) {
    if (flight.pace == Pace::shutter) return shutter_s;
    if (flight.lap_s) return *flight.lap_s * turns_of(flight);
    if (flight.speed_m_s && *flight.speed_m_s > 0.0) return std::nullopt;
    return default_lap_s * turns_of(flight);
}

double shortest_duration_s(const Flight& flight) {
    if (!flight.limits.given()) return 0.0;
    Flight fastest = flight;
    fastest.pace = Pace::given;
    fastest.lap_s.reset();
    fastest.speed_m_s = std::numeric_limits<double>::infinity();
    return FlightPath(fastest, 0.0).duration_s();
}

FlightPath::FlightPath(const Flight& flight, double shutter_s)
    : curve_(curve_of(flight)), figure_centre_m_(centre_of(flight)), turns_(turns_of(flight)) {
    const auto intervals = static_cast<std::size_t>(512.0 * std::max(4.0, std::ceil(turns_)));
    arc_m_ = arc_table(curve_, intervals);
    speed_ = profile_of(flight, course_of(curve_, arc_m_, turns_), shutter_s);
}

double FlightPath::length_m() const {
    return arc_m_.back();
}
double FlightPath::duration_s() const {
    return speed_.duration_s();
}
double FlightPath::lap_s() const {
    return turns_ > 0.0 ? duration_s() / turns_ : 0.0;
}
double FlightPath::speed_m_s() const {
    return duration_s() > 0.0 ? length_m() / duration_s() : 0.0;
}
double FlightPath::top_speed_m_s() const {
    return speed_.top_speed_m_s();
}
double FlightPath::top_acceleration_m_s2() const {
    return speed_.top_acceleration_m_s2;
}
double FlightPath::flown_m(double time_s) const {
    return speed_.arc_at_m(time_s);
}
double FlightPath::flown_turns(double time_s) const {
    return length_m() > 0.0 ? turns_ * flown_m(time_s) / length_m() : 0.0;
}
Vec3 FlightPath::centre_m() const {
    return figure_centre_m_;
}

double FlightPath::parameter_at(double arc_m) const {
    const auto above = std::upper_bound(arc_m_.begin() + 1, arc_m_.end() - 1, arc_m);
    const double low = *(above - 1);
    const double width = *above - low;
    const double within = width > 0.0 ? std::clamp((arc_m - low) / width, 0.0, 1.0) : 0.0;
    const auto index = static_cast<double>(above - arc_m_.begin() - 1);
    return (index + within) / static_cast<double>(arc_m_.size() - 1);
}

Vec3 FlightPath::position_m(double time_s) const {
    return curve_(parameter_at(flown_m(time_s)));
}

Vec3 FlightPath::velocity_m_s(double time_s) const {
    return direction(time_s) * speed_.speed_at_m_s(time_s);
}

Vec3 FlightPath::direction(double time_s) const {
    const Vec3 along = tangent(curve_, parameter_at(flown_m(time_s)), difference_step(turns_));
    const double rate = glm::length(along);
    return rate > 0.0 ? along / rate : Vec3(0.0);
}

double FlightPath::heading_rad(double time_s) const {
    const Vec3 ahead = direction(time_s);
    const bool climbs_straight = std::hypot(ahead.x, ahead.y) <= 1e-9;
    return climbs_straight ? 0.0 : bearing_of(ahead);
}

}  // namespace lampflight
