#include "scene/sky/night_sky.h"

#include <cmath>

#include "scene/basics/angle.h"
#include "scene/sky/celestial.h"
#include "scene/sky/natural_light.h"

namespace lampflight {
namespace {

SkyBody body(const Seen& seen, double elevation_m, double clear_lx, double radius_deg) {
    const auto through_air = [&](double altitude_deg) {
        return refracted_altitude_deg(altitude_deg, elevation_m);
    };
    return {.direction =
                direction_of(radians(seen.bearing_deg), radians(through_air(seen.altitude_deg))),
            .altitude_deg = seen.altitude_deg,
            .clear_lx = clear_lx,
            .radius_deg = radius_deg,
            .flattening = (through_air(seen.altitude_deg + radius_deg) -
                           through_air(seen.altitude_deg - radius_deg)) /
                          (2.0 * radius_deg)};
}

}  // namespace

NightSky night_sky(const Shoot& shoot, double unix_s) {
    const Place& place = *shoot.place;
    const SkyLight& light = shoot.sky;
    const Seen sun = sun_seen(place, unix_s);
    const MoonSeen moon = moon_seen(place, unix_s);
    NightSky sky;
    sky.sun = body(sun, place.elevation_m, sun_alone_lx(sun.altitude_deg), sun_radius_deg(unix_s));
    sky.moon = body(moon.seen, place.elevation_m,
                    moon_lx(moon.seen.altitude_deg, moon.elongation_deg, moon.distance_km),
                    moon.radius_deg);
    sky.moon_lit = moon.lit;
    sky.moon_elongation_deg = moon.elongation_deg;
    sky.night_mag_arcsec2 = light.night_mag_arcsec2;
    if (light.town.bearing_deg && light.town.horizontal_lx)
        sky.town = TownGlow{*light.town.bearing_deg, *light.town.horizontal_lx};
    sky.cloud_share = light.cloud_share;
    sky.visibility_km = shoot.air.visibility_km;
    sky.elevation_m = place.elevation_m;
    return sky;
}

double horizontal_lx(const NightSky& sky) {
    const double clear_lx = sky.sun.clear_lx + sky.moon.clear_lx + night_lx(sky.night_mag_arcsec2);
    return clear_lx * clouded(sky.cloud_share) + (sky.town ? sky.town->horizontal_lx : 0.0);
}

double as_at_opening_s(const Shoot& shoot, double after_s, const TimeWindows& times,
                       const SkyLux& light) {
    // Gauss's rule of two points: twilight's cubic polynomials are all but even over a minute.
    constexpr double longest_s = 60.0;
    const double opens_s = shoot.place->when.unix_s + after_s;
    const double first_lx = light(night_sky(shoot, opens_s));
    if (!(first_lx > 0.0)) return total_s(times);
    double sum = 0.0;
    for (const TimeWindow& window : times) {
        const double open_s = window.to_s - window.from_s;
        const int count = static_cast<int>(std::ceil(open_s / longest_s));
        const double half_s = 0.5 * open_s / count;
        for (int i = 0; i < count; ++i)
            for (const double off : {-1.0 / std::sqrt(3.0), 1.0 / std::sqrt(3.0)}) {
                const double at_s = window.from_s + half_s * (2.0 * i + 1.0 + off);
                sum += half_s * light(night_sky(shoot, opens_s + at_s));
            }
    }
    return sum / first_lx;
}

Moment moment_of(const Shoot& shoot, const Take& take) {
    return {shoot.place->when.unix_s + take.after_s, shoot.place->when.offset_min};
}

}  // namespace lampflight
