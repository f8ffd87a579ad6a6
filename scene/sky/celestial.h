// Ephemerides: where sun and moon stand over a place, and how the stars are turned to it.
#pragma once

#include <glm/glm.hpp>

#include "scene/basics/vector.h"
#include "scene/sky/place.h"

namespace lampflight {

/// Where a body's centre stands from the place itself, without refraction.
struct Seen {
    double altitude_deg;  ///< above the plane that touches the WGS 84 ellipsoid
    double bearing_deg;   ///< clockwise from north, 0 to 360
};

struct MoonSeen {
    Seen seen;
    double lit;             ///< lit share of its disc, from the earth's centre
    double elongation_deg;  ///< from the sun, seen from the earth's centre
    double distance_km;     ///< from the earth's centre
    double radius_deg;      ///< of its disc, from the place
};

/// TT - UTC, what turns clock time into the time of the ephemerides, in seconds. By the list of
/// leap seconds from 1960 on, the last of them kept into the future; before, the polynomials of
/// Espenak & Meeus, NASA/TP-2006-214141 (from memory), for 1900 and later.
double clock_behind_s(double unix_s);

/// The sun, by the earth's orbit of Bretagnon's VSOP2000 in Fukushima's short form and the
/// precession and nutation IAU 2000B, both from ERFA. With light time, aberration by the earth's
/// path, and parallax. UT1 - UTC is taken as 0: 0.9 s, or 0.004 deg of bearing, at the most, and
/// more only far from now. Left out: polar motion and aberration by the earth's turning, under
/// 0.0003 deg together.
Seen sun_seen(const Place& place, double unix_s);

/// Radius of the sun's disc: 696000 km (IAU 1976) at the distance of the day.
double sun_radius_deg(double unix_s);

/// The moon, by Meeus's shortened form of ELP 2000-82 (10 arc seconds at worst), with the same
/// corrections as the sun; at the place, up to a degree lower than from the earth's centre. Its
/// radius is 1737.4 km (IAU 2015).
MoonSeen moon_seen(const Place& place, double unix_s);

/// Turns a direction of a star catalogue (ICRS axes) to east, north, up; airless, without
/// aberration, which moves stars by up to 0.006 deg.
glm::dmat3 horizon_from_icrs(const Place& place, double unix_s);

/// Where a body seems to stand through the air: Saemundsson, Sky & Telescope 72 (1986), p. 70, at
/// 1010 hPa and 10 C at sea level, less with height as in the standard atmosphere (ISO 2533, 6.5 K
/// a kilometre). From 1 to 5 deg below the horizon, where no one sees the body, it fades to none.
double refracted_altitude_deg(double airless_altitude_deg, double elevation_m);

}  // namespace lampflight
