#include "scene/planning/dusk.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/turning_point.h"
#include "scene/shoot/open_lamp_light.h"
#include "scene/shoot/take_moment.h"
#include "scene/sky/starlight.h"

namespace lampflight {
namespace {

constexpr double minute_s = 60.0;
constexpr double tolerance_stops = 0.5;
constexpr double exact_s = 0.5;

double evening_from_s(const Evening& evening) {
    const SunPassage& sunset = evening.sun.front();
    if (sunset.passing == Passing::sinks_through) return sunset.unix_s - 20.0 * minute_s;
    if (sunset.passing == Passing::stays_above) return evening.midnight_s - 240.0 * minute_s;
    return evening.noon_s;
}

double evening_to_s(const Evening& evening) {
    const SunPassage& night = evening.sun.back();
    return night.passing == Passing::sinks_through ? night.unix_s : evening.midnight_s;
}

double morning_from_s(const Evening& evening) {
    const SunPassage& night = evening.morning.front();
    return night.passing == Passing::climbs_through ? night.unix_s : evening.midnight_s;
}

double morning_to_s(const Evening& evening) {
    const SunPassage& sunrise = evening.morning.back();
    if (sunrise.passing == Passing::climbs_through) return sunrise.unix_s + 20.0 * minute_s;
    if (sunrise.passing == Passing::stays_above) return evening.midnight_s + 240.0 * minute_s;
    return evening.next_noon_s;
}

/// One take's sky and ground as functions of time.
class TakeSeen {
public:
    TakeSeen(const PlacedShoot& shoot, const Take& take, const SkyOnFilm& sky)
        : shoot_(shoot),
          sky_(sky),
          settings_(settings_of(shoot, take)),
          ground_(lit_ground(shoot, take)) {}

    const ExposureSettings& settings() const { return settings_; }
    const LitGround& ground() const { return ground_; }

    double sky_stops(double unix_s) const { return stops_of(sky_(unix_s) * settings_.shutter_s); }

    double lit_ground_stops(double unix_s) const {
        const NightSky night = night_sky(shoot_, unix_s);
        return ground_stops(horizontal_lx(night), ground_.lamps_cd_s_m2);
    }

    double star_trail_px(double shutter_s) const {
        const Vec3 ahead = axes_of(shoot_.camera).forward;
        return lampflight::star_trail_px(shoot_.camera, shutter_s,
                                         declination_deg(ahead, shoot_.place->latitude_deg));
    }

    DuskMinute minute(double unix_s) const {
        const NightSky night = night_sky(shoot_, unix_s);
        DuskMinute minute{};
        minute.unix_s = unix_s;
        minute.sun_altitude_deg = night.sun.altitude_deg;
        minute.moon_altitude_deg = night.moon.altitude_deg;
        minute.horizontal_lx = horizontal_lx(night);
        minute.sky_stops = sky_stops(unix_s);
        minute.ground_stops = ground_stops(minute.horizontal_lx, 0.0);
        minute.lit_ground_stops = ground_stops(minute.horizontal_lx, ground_.lamps_cd_s_m2);
        minute.wanted_shutter_s =
            settings_.shutter_s * std::exp2(shoot_.sky.want_stops - minute.sky_stops);
        minute.star_trail_px = star_trail_px(minute.wanted_shutter_s);
        return minute;
    }

private:
    /// Of luminance times lens factor, summed over the shutter.
    double stops_of(double film_cd_s_m2) const {
        return stops_from_mid_grey(focal_plane_exposure_lxs(film_cd_s_m2, 1.0, settings_.f_number),
                                   settings_.iso);
    }
    double ground_stops(double lx, double lamps_cd_s_m2) const {
        return stops_of(ground_.lens_factor *
                        (ground_cd_m2(shoot_.ground, lx) * settings_.shutter_s + lamps_cd_s_m2));
    }

    const Shoot& shoot_;
    const SkyOnFilm& sky_;
    ExposureSettings settings_;
    LitGround ground_;
};

/// Calls `turn` with the time at which a condition changes, to half a second, in order.
template <class Condition, class Turn>
void for_each_turn(const std::vector<DuskMinute>& minutes, Condition holds, Turn turn) {
    bool was = holds(minutes.front().unix_s);
    for (std::size_t i = 1; i < minutes.size(); ++i) {
        const bool is = holds(minutes[i].unix_s);
        if (is != was)
            turn(turning_point(holds, minutes[i - 1].unix_s, minutes[i].unix_s, exact_s).after_s,
                 is);
        was = is;
    }
}

std::vector<DuskWindow> windows_of(const std::vector<DuskMinute>& minutes,
                                   const std::function<bool(double)>& is_in) {
    std::vector<DuskWindow> windows;
    const double first_s = minutes.front().unix_s;
    if (is_in(first_s)) windows.push_back({first_s, std::nullopt});
    for_each_turn(minutes, is_in, [&](double unix_s, bool begins) {
        if (begins)
            windows.push_back({unix_s, std::nullopt});
        else
            windows.back().to_s = unix_s;
    });
    return windows;
}

}  // namespace

DuskSpan dusk_span(const Shoot& shoot, const Take& take) {
    constexpr double spare_s = 10.0 * minute_s;
    const double unix_s = moment_of(shoot, take).unix_s;
    const Evening evening = evening_of(*shoot.place, unix_s);
    const bool is_morning = unix_s > evening.midnight_s;
    double from_s = is_morning ? morning_from_s(evening) : evening_from_s(evening);
    double to_s = is_morning ? morning_to_s(evening) : evening_to_s(evening);
    for (const Take& other : shoot.takes) {
        const double opens_s = moment_of(shoot, other).unix_s;
        from_s = std::min(from_s, opens_s - spare_s);
        to_s = std::max(to_s, opens_s + spare_s);
    }
    return {evening, std::floor(from_s / minute_s) * minute_s,
            std::ceil(to_s / minute_s) * minute_s};
}

Dusk dusk_of(const PlacedShoot& shoot, const Take& take, const DuskSpan& span,
             const SkyOnFilm& sky) {
    const TakeSeen seen(shoot, take, sky);
    Dusk dusk{};
    dusk.take = take.name;
    dusk.settings = seen.settings();
    dusk.want_stops = shoot.sky.want_stops;
    dusk.star_trail_px = seen.star_trail_px(dusk.settings.shutter_s);
    dusk.ground = seen.ground();
    dusk.has_lamps = dusk.ground.lamps_cd_s_m2 > 0.0;
    dusk.span = span;
    for (double t = span.from_s; t <= span.to_s; t += minute_s)
        dusk.minutes.push_back(seen.minute(t));

    const auto off = [&](double stops) { return std::abs(stops - dusk.want_stops); };
    dusk.windows = windows_of(dusk.minutes,
                              [&](double t) { return off(seen.sky_stops(t)) <= tolerance_stops; });
    dusk.nearest = *std::min_element(
        dusk.minutes.begin(), dusk.minutes.end(),
        [&](const auto& a, const auto& b) { return off(a.sky_stops) < off(b.sky_stops); });
    if (dusk.has_lamps)
        for_each_turn(
            dusk.minutes, [&](double t) { return seen.lit_ground_stops(t) > seen.sky_stops(t); },
            [&](double unix_s, bool) { dusk.alike_s.push_back(unix_s); });
    for (const Take& other : shoot.takes) {
        const TakeSeen at(shoot, other, sky);
        dusk.takes.push_back({other.name, at.settings(), at.ground().lamps_cd_s_m2 > 0.0,
                              at.minute(moment_of(shoot, other).unix_s)});
    }
    return dusk;
}

}  // namespace lampflight
