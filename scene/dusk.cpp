#include "scene/dusk.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include "scene/angle.h"
#include "scene/night_sky.h"
#include "scene/turning_point.h"

namespace lampflight {
namespace {

constexpr double minute_s = 60.0;
constexpr double tolerance_stops = 0.5;
constexpr double exact_s = 0.5;

double first_minute_s(const Evening& evening) {
    const SunPassage& sunset = evening.sun.front();
    double from_s = evening.noon_s;
    if (sunset.passing == Passing::sinks_through) from_s = sunset.unix_s - 20.0 * minute_s;
    if (sunset.passing == Passing::stays_above) from_s = evening.midnight_s - 240.0 * minute_s;
    return std::floor(from_s / minute_s) * minute_s;
}

double last_minute_s(const Evening& evening) {
    const SunPassage& night = evening.sun.back();
    const double until_s =
        night.passing == Passing::sinks_through ? night.unix_s : evening.midnight_s;
    return std::ceil(until_s / minute_s) * minute_s;
}

using IsIn = std::function<bool(double)>;

std::optional<DuskWindow> window_of(const std::vector<DuskMinute>& minutes, const IsIn& is_in) {
    const auto holds = [&](const DuskMinute& minute) { return is_in(minute.unix_s); };
    const auto first = std::find_if(minutes.begin(), minutes.end(), holds);
    if (first == minutes.end()) return std::nullopt;
    DuskWindow window{first->unix_s, std::nullopt};
    if (first != minutes.begin())
        window.from_s =
            turning_point(is_in, std::prev(first)->unix_s, first->unix_s, exact_s).after_s;
    const auto after = std::find_if_not(first, minutes.end(), holds);
    if (after != minutes.end())
        window.to_s =
            turning_point(is_in, std::prev(after)->unix_s, after->unix_s, exact_s).after_s;
    return window;
}

}  // namespace

double sky_stops(double horizontal_lx, double lens_transmission, const ExposureSettings& settings) {
    const double q = lens_factor(lens_transmission, 1.0);
    return stops_from_mid_grey(focal_plane_exposure_lxs(horizontal_lx / pi, q, settings),
                               settings.iso);
}

Dusk dusk_of(const Shoot& shoot, const Take& take) {
    const Place& place = *shoot.place;
    const ExposureSettings settings = settings_of(shoot, take);
    const auto minute_at = [&](double unix_s) {
        const NightSky sky = night_sky(shoot, unix_s);
        const double lx = horizontal_lx(sky);
        const double stops = sky_stops(lx, shoot.camera.lens.transmission, settings);
        return DuskMinute{unix_s,
                          sky.sun.altitude_deg,
                          sky.moon.altitude_deg,
                          lx,
                          stops,
                          settings.shutter_s * std::exp2(shoot.sky.want_stops - stops)};
    };
    const Evening evening = evening_of(place, moment_of(shoot, take).unix_s);
    Dusk dusk{settings, shoot.sky.want_stops, {}, std::nullopt};
    for (double t = first_minute_s(evening); t <= last_minute_s(evening); t += minute_s)
        dusk.minutes.push_back(minute_at(t));
    dusk.window = window_of(dusk.minutes, [&](double t) {
        return std::abs(minute_at(t).sky_stops - dusk.want_stops) <= tolerance_stops;
    });
    return dusk;
}

}  // namespace lampflight
