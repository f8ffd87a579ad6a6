#include "scene/flights/speed_profile.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace lampflight {
namespace {

constexpr int ramp_steps = 1024;

/// Below this share of a turn over the whole course, curvature is rounding.
constexpr double straight_rad = 1e-6;

/// The cells of a course cut finer where a flight gains and loses its speed.
struct Steps {
    std::vector<double> arc_m;
    std::vector<double> bend;  ///< of the step behind each place but the first
};

/// Way from rest to a speed: with w = v^2, dw/ds = 2 sqrt(a^2 - w^2 k^2) gives w = (a/k) sin(2ks).
double ramp_m(double speed_m_s, double acceleration_m_s2, double bend) {
    const double square = speed_m_s * speed_m_s;
    const double across = std::min(square * bend / acceleration_m_s2, 1.0);
    return across < 1e-9 ? square / (2.0 * acceleration_m_s2) : std::asin(across) / (2.0 * bend);
}

Steps steps_of(const Course& course, double acceleration_m_s2, double cruise_m_s) {
    const double length_m = course.length_m();
    Steps steps{course.edge_m, {}};
    const double first_m =
        std::min(ramp_m(cruise_m_s, acceleration_m_s2, course.bend.front()), 0.5 * length_m);
    const double last_m =
        std::min(ramp_m(cruise_m_s, acceleration_m_s2, course.bend.back()), 0.5 * length_m);
    for (int i = 1; i <= ramp_steps; ++i) {
        // Even in time for an even acceleration.
        const double share = static_cast<double>(i) * i / (1.0 * ramp_steps * ramp_steps);
        steps.arc_m.push_back(first_m * share);
        steps.arc_m.push_back(length_m - last_m * share);
    }
    std::sort(steps.arc_m.begin(), steps.arc_m.end());
    const double apart_m = 1e-9 * length_m;
    const auto end = std::unique(steps.arc_m.begin(), steps.arc_m.end(),
                                 [&](double one, double next) { return next - one <= apart_m; });
    steps.arc_m.erase(end, steps.arc_m.end());
    steps.arc_m.back() = length_m;
    std::size_t cell = 0;
    for (std::size_t i = 1; i < steps.arc_m.size(); ++i) {
        const double middle_m = 0.5 * (steps.arc_m[i - 1] + steps.arc_m[i]);
        while (cell + 1 < course.bend.size() && course.edge_m[cell + 1] <= middle_m) ++cell;
        steps.bend.push_back(course.bend[cell]);
    }
    return steps;
}

/// The most that v^2 can be at the end of a step that begins at `square`, so that the limit holds
/// at the faster end: ((x - w) / 2s)^2 + (x k)^2 = a^2 solved for x.
double next_square(double square, double step_m, double bend, double acceleration_m_s2) {
    const double reach = 2.0 * step_m;
    const double turn = reach * bend;
    const double widened = 1.0 + turn * turn;
    const double root =
        acceleration_m_s2 * acceleration_m_s2 * widened - bend * bend * square * square;
    return (square + reach * std::sqrt(std::max(root, 0.0))) / widened;
}

/// v^2 at every place.
std::vector<double> squares_of(const Steps& steps, double acceleration_m_s2, double cruise_m_s) {
    const std::size_t last = steps.arc_m.size() - 1;
    const double infinity = std::numeric_limits<double>::infinity();
    std::vector<double> square(last + 1, cruise_m_s * cruise_m_s);
    for (std::size_t i = 0; i < last; ++i) {
        const double most = steps.bend[i] > 0.0 ? acceleration_m_s2 / steps.bend[i] : infinity;
        square[i] = std::min(square[i], most);
        square[i + 1] = std::min(square[i + 1], most);
    }
    square.front() = square.back() = 0.0;
    const auto step_m = [&](std::size_t i) { return steps.arc_m[i + 1] - steps.arc_m[i]; };
    for (std::size_t i = 0; i < last; ++i)
        square[i + 1] = std::min(
            square[i + 1], next_square(square[i], step_m(i), steps.bend[i], acceleration_m_s2));
    for (std::size_t i = last; i-- > 0;)
        square[i] = std::min(
            square[i], next_square(square[i + 1], step_m(i), steps.bend[i], acceleration_m_s2));
    return square;
}

double top_acceleration(const Steps& steps, const std::vector<double>& square) {
    double top = 0.0;
    for (std::size_t i = 0; i + 1 < square.size(); ++i) {
        const double step_m = steps.arc_m[i + 1] - steps.arc_m[i];
        const double along = (square[i + 1] - square[i]) / (2.0 * step_m);
        top = std::max(top, std::hypot(along, std::max(square[i], square[i + 1]) * steps.bend[i]));
    }
    return top;
}

double most_speed_m_s(const Course& course, const SpeedLimits& limits) {
    // From rest and back to rest, v^2 comes to no more than acceleration times length.
    const double reached_m_s = std::sqrt(*limits.acceleration_m_s2 * course.length_m());
    return std::min(limits.speed_m_s.value_or(reached_m_s), reached_m_s);
}

void stretch_to(SpeedProfile& profile, double duration_s) {
    const double factor = duration_s / profile.duration_s();
    for (double& time_s : profile.time_s) time_s *= factor;
    for (double& speed_m_s : profile.speed_m_s) speed_m_s /= factor;
    profile.time_s.back() = duration_s;
}

}  // namespace

double SpeedProfile::top_speed_m_s() const {
    return *std::max_element(speed_m_s.begin(), speed_m_s.end());
}

SpeedProfile::Place SpeedProfile::place_at(double time) const {
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

SpeedProfile even_speed(const Course& course, double duration_s) {
    const double speed_m_s = duration_s > 0.0 ? course.length_m() / duration_s : 0.0;
    const double bend = *std::max_element(course.bend.begin(), course.bend.end());
    const bool straight = bend * course.length_m() < straight_rad;
    return {{0.0, course.length_m()},
            {0.0, duration_s},
            {speed_m_s, speed_m_s},
            straight ? 0.0 : speed_m_s * speed_m_s * bend};
}

SpeedProfile limited_speed(const Course& course, const SpeedLimits& limits, double cruise_m_s) {
    const double length_m = course.length_m();
    if (length_m <= 0.0) return even_speed(course, 0.0);
    const double acceleration_m_s2 = *limits.acceleration_m_s2;
    const double cruise = std::min(cruise_m_s, most_speed_m_s(course, limits));
    Steps steps = steps_of(course, acceleration_m_s2, cruise);
    const std::vector<double> square = squares_of(steps, acceleration_m_s2, cruise);
    SpeedProfile profile{steps.arc_m, {0.0}, {0.0}, top_acceleration(steps, square)};
    for (std::size_t i = 1; i < square.size(); ++i) {
        const double speed_m_s = std::sqrt(square[i]);
        const double step_m = steps.arc_m[i] - steps.arc_m[i - 1];
        profile.time_s.push_back(profile.time_s.back() +
                                 2.0 * step_m / (speed_m_s + profile.speed_m_s.back()));
        profile.speed_m_s.push_back(speed_m_s);
    }
    return profile;
}

SpeedProfile limited_duration(const Course& course, const SpeedLimits& limits, double duration_s) {
    if (course.length_m() <= 0.0) return even_speed(course, duration_s);
    double fast_m_s = most_speed_m_s(course, limits);
    SpeedProfile profile = limited_speed(course, limits, fast_m_s);
    if (profile.duration_s() >= duration_s) return profile;
    // Too slow: the mean speed, since the ramps come on top. Between them by false position,
    // halving the weight of an end that stays (Illinois).
    double slow_m_s = course.length_m() / duration_s;
    double slow_over_s = limited_speed(course, limits, slow_m_s).duration_s() - duration_s;
    double fast_over_s = profile.duration_s() - duration_s;
    int stayed = 0;
    for (int i = 0; i < 100 && std::abs(profile.duration_s() - duration_s) > 1e-12 * duration_s;
         ++i) {
        const double cruise_m_s =
            (slow_m_s * fast_over_s - fast_m_s * slow_over_s) / (fast_over_s - slow_over_s);
        profile = limited_speed(course, limits, cruise_m_s);
        const double over_s = profile.duration_s() - duration_s;
        if (over_s > 0.0) {
            slow_m_s = cruise_m_s;
            slow_over_s = over_s;
            if (stayed == 1) fast_over_s *= 0.5;
            stayed = 1;
        } else {
            fast_m_s = cruise_m_s;
            fast_over_s = over_s;
            if (stayed == -1) slow_over_s *= 0.5;
            stayed = -1;
        }
    }
    stretch_to(profile, duration_s);
    return profile;
}

}  // namespace lampflight
