// Sun, moon, airglow and town glow over a place at one moment, as numbers: bodies by direction and
// light, and what shines without them. The renderer makes a sky of it.
#pragma once

#include <optional>

#include "scene/basics/vector.h"
#include "scene/sky/air.h"
#include "scene/sky/place.h"
#include "scene/sky/sky_light.h"

namespace lampflight {

/// Sun or moon. Below the horizon it still lights the air.
struct SkyBody {
    /// Unit, towards it where refraction sends it; east, north, up.
    Vec3 direction{0.0, 0.0, -1.0};
    double altitude_deg = -90.0;  ///< topocentric, airless, as tables of twilight mean it
    double clear_lx = 0.0;        ///< on open level ground under a clear sky, disc and sky together
    double radius_deg = 0.266;    ///< of its disc, sideways
    double flattening = 1.0;      ///< height of the disc as a share of its width, by refraction
};

/// A town's dome of light.
struct TownGlow {
    double bearing_deg = 0.0;
    double horizontal_lx = 0.0;  ///< on open level ground, from the dome alone
};

struct NightSky {
    SkyBody sun;
    SkyBody moon;
    double moon_lit = 0.0;             ///< lit share of the moon's disc
    double moon_elongation_deg = 0.0;  ///< sun to moon, seen from the earth's centre
    double night_mag_arcsec2 = 21.5;   ///< at the zenith with neither sun nor moon (V)
    std::optional<TownGlow> town;
    double cloud_share = 0.0;     ///< of the sky's dome under cloud, 0 to 1
    double visibility_km = 40.0;  ///< meteorological range of the air at the place
    double elevation_m = 0.0;     ///< of the place, above sea level
};

/// What hangs over a place at an instant (seconds of UTC since 1970-01-01).
NightSky night_sky(const Place& place, const SkyLight& light, const Air& air, double unix_s);

/// Lux on open level ground from all of it, clouds taken into account: they dim sun, moon and night
/// sky, and leave the town's light as it was stated.
double horizontal_lx(const NightSky& sky);

}  // namespace lampflight
