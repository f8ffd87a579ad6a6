// Stellar photometry: light by magnitude, colour by B-V, airmass; and how fast a star turns.
#pragma once

#include "scene/camera/camera.h"

namespace lampflight {

/// Turning of the sky, rad/s: the earth's to the stars, 15.041 degrees an hour (WGS 84).
constexpr double sky_turn_rad_s = 7.292115e-5;

/// Illuminance outside the air of a star of V = 0 on a plane that faces it: 2.54e-6 lx, Allen,
/// Astrophysical Quantities (from memory).
constexpr double lux_of_magnitude_0 = 2.54e-6;

/// Lux of a star of so many magnitudes, 10^(-0.4 m) of the above.
double star_lx(double magnitude);

/// Temperature of a black body of this B-V: Ballesteros 2012 (EPL 97, 34008), eq. 14. B-V under
/// -0.4 counts as -0.4, above 2.5 as 2.5.
double star_temperature_k(double b_v);

/// Air on the way to a body over that to the zenith, by its refracted altitude: Kasten & Young 1989
/// (Applied Optics 28, 4735). Altitudes below 0 count as 0.
double airmass(double altitude_deg);

/// Declination of what stands in a direction (unit; east, north, up), whatever the hour.
double declination_deg(const Vec3& direction, double latitude_deg);

/// Length of a star's trail in pixels of the picture, in the middle of the frame. Shutter times of
/// more than a day go round once.
double star_trail_px(const Camera& camera, double shutter_s, double declination_deg);

}  // namespace lampflight
