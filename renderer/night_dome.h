// The sky over a place at one moment: sun, moon, the night's own light, a town and clouds in one
// table, and the discs that stand above the horizon.
#pragma once

#include <vector>

#include "renderer/direct_disc.h"
#include "renderer/sky_table.h"
#include "scene/night_sky.h"

namespace lampflight {

struct NightDome {
    SkyTable table;
    std::vector<DirectLight> direct;
};

NightDome night_dome(const NightSky& night);

/// Luminance in cd/m2 of a sky of so many magnitudes (V) per square arcsecond:
/// 10.8e4 * 10^(-0.4 m), the trade's conversion.
double night_luminance_cd_m2(double mag_arcsec2);

/// Night sky's luminance relative to the zenith's: Krisciunas & Schaefer 1991 (PASP 103, 1033),
/// airglow by the length of path, dimmed by `extinction_mag` per airmass.
double airglow_rise(double altitude_rad, double extinction_mag);

}  // namespace lampflight
