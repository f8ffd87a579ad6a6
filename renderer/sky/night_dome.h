// The sky over a place at one moment: sun, moon, the night's own light, a town and clouds in one
// table, and the discs that stand above the horizon with the glow about them.
//
// The sun's part fades to none at -18 degrees: the polynomial ends there on the light of a moonless
// night, which is the night's own. Left out: refraction within the air, polarisation, light from
// snow, aureoles of large drops.
#pragma once

#include <vector>

#include "renderer/sky/aureole.h"
#include "renderer/sky/sky_table.h"
#include "renderer/sky/sun_moon_disc.h"
#include "scene/sky/night_sky.h"

namespace lampflight {

struct NightDome {
    SkyTable table;
    std::vector<SunMoonDisc> direct;
    std::vector<Aureole> aureoles;
};

/// The air that this sky hangs in: the same for all moments of a place.
Atmosphere atmosphere_of(const NightSky& night);

NightDome night_dome(const NightSky& night, const Atmosphere& air);

}  // namespace lampflight
