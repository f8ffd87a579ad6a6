// A second ephemeris that shares no code with ours: libnova (VSOP87, ELP 2000-82, and precession,
// nutation and sidereal time by the formulas of Meeus, Astronomical Algorithms). Airless.
#pragma once

#include "scene/sky/celestial.h"

namespace lampflight {

/// A body as seen from the place, and how far it is from there.
struct SeenFar {
    Seen seen;
    double distance_km;
};

SeenFar second_sun(const Place& place, double unix_s);
SeenFar second_moon(const Place& place, double unix_s);

/// A star of a catalogue (ICRS, taken as the mean equinox of 2000: 0.02 arc seconds apart): with
/// precession and nutation, without aberration.
Seen second_star(const Place& place, double unix_s, double ra_deg, double dec_deg);

/// Angle between two places in the sky, in degrees.
double apart_deg(const Seen& one, const Seen& other);

}  // namespace lampflight
