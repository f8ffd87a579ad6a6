#include "scene/sky/evening.h"

#include <cmath>
#include <functional>

#include "scene/basics/turning_point.h"
#include "scene/sky/celestial.h"

namespace lampflight {
namespace {

constexpr double day_s = 86400.0;
constexpr double exact_s = 0.05;
constexpr double refraction_deg = 34.0 / 60.0;  // at the horizon, by convention
constexpr double moon_step_s = 600.0;

using Height = std::function<double(double)>;  // by time in seconds

/// When a height changes its sign, between two times at which it differs.
double crossing_s(const Height& height, double from_s, double to_s) {
    const auto [before_s, after_s] =
        turning_point([&](double t) { return height(t) > 0.0; }, from_s, to_s, exact_s);
    return 0.5 * (before_s + after_s);
}

/// When a height with a single peak about a time is greatest: its slope changes sign there.
double peak_s(const Height& height, double about_s) {
    constexpr double around_s = 3600.0, apart_s = 60.0;  // true noon is within 17 min of the mean
    const Height slope = [&](double t) { return height(t + apart_s) - height(t - apart_s); };
    return crossing_s(slope, about_s - around_s, about_s + around_s);
}

SunPassage passage(const Height& sun, double altitude_deg, double noon_s, double midnight_s) {
    const Height above = [&](double t) { return sun(t) - altitude_deg; };
    if (above(midnight_s) > 0.0) return {altitude_deg, Passing::stays_above, midnight_s};
    if (above(noon_s) <= 0.0) return {altitude_deg, Passing::stays_below, noon_s};
    if (noon_s < midnight_s)
        return {altitude_deg, Passing::sinks_through, crossing_s(above, noon_s, midnight_s)};
    return {altitude_deg, Passing::climbs_through, crossing_s(above, midnight_s, noon_s)};
}

/// Mean solar noon on the meridian of the place, the last one up to a time.
double mean_noon_s(const Place& place, double unix_s) {
    const double lead_s = place.longitude_deg / 360.0 * day_s - 0.5 * day_s;
    return std::floor((unix_s + lead_s) / day_s) * day_s - lead_s;
}

void find_moon(const Place& place, Evening& evening) {
    const Height upper_edge = [&](double t) {
        const MoonSeen moon = moon_seen(place, t);
        return moon.seen.altitude_deg + moon.radius_deg + refraction_deg;
    };
    double last = upper_edge(evening.noon_s);
    for (double t = evening.noon_s; t < evening.noon_s + day_s; t += moon_step_s) {
        const double next = upper_edge(t + moon_step_s);
        if (last <= 0.0 && next > 0.0 && !evening.moonrise_s)
            evening.moonrise_s = crossing_s(upper_edge, t, t + moon_step_s);
        if (last > 0.0 && next <= 0.0 && !evening.moonset_s)
            evening.moonset_s = crossing_s(upper_edge, t, t + moon_step_s);
        last = next;
    }
}

}  // namespace

Evening evening_of(const Place& place, double unix_s) {
    const Height sun = [&](double t) { return sun_seen(place, t).altitude_deg; };
    const Height depth = [&](double t) { return -sun(t); };
    double about_s = mean_noon_s(place, unix_s);
    const bool is_morning = unix_s > about_s + 0.5 * day_s;
    if (is_morning && sun(unix_s) > sunset_altitude_deg) about_s += day_s;

    Evening evening{};
    evening.noon_s = peak_s(sun, about_s);
    evening.midnight_s = peak_s(depth, about_s + 0.5 * day_s);
    evening.next_noon_s = peak_s(sun, about_s + day_s);
    for (const double altitude_deg : {sunset_altitude_deg, -4.0, -6.0, -8.0, -12.0, -18.0}) {
        evening.sun.push_back(passage(sun, altitude_deg, evening.noon_s, evening.midnight_s));
        evening.morning.insert(evening.morning.begin(),
                               passage(sun, altitude_deg, evening.next_noon_s, evening.midnight_s));
    }
    find_moon(place, evening);
    return evening;
}

}  // namespace lampflight
