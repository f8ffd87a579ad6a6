#include "scene/sky/night_sky.h"

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

NightSky night_sky(const Place& place, const SkyLight& light, const Air& air, double unix_s) {
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
    sky.visibility_km = air.visibility_km;
    sky.elevation_m = place.elevation_m;
    return sky;
}

double horizontal_lx(const NightSky& sky) {
    const double clear_lx = sky.sun.clear_lx + sky.moon.clear_lx + night_lx(sky.night_mag_arcsec2);
    return clear_lx * clouded(sky.cloud_share) + (sky.town ? sky.town->horizontal_lx : 0.0);
}

}  // namespace lampflight
