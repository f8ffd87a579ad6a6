// Illuminance of open level ground by sun, moon and night sky, by published formulas.
//
// Sun and moon: the polynomials of P. M. Janiczek as printed in the Explanatory Supplement to the
// Astronomical Almanac (Seidelmann 1992) and in Vallado, Fundamentals of Astrodynamics, eq. 5-9.
// They, and not the closed formula of the same author's USNO Circular 171, because the AMS Glossary
// of Meteorology agrees with them at the ends of nautical and astronomical twilight (0.008 and
// 0.0006 lx); below -10 deg the two part, up to a factor of a hundred at -18.
#pragma once

namespace lampflight {

/// Lux from the sun, disc and clear sky together, with its centre at an airless altitude of -90 to
/// 90 deg. Where two polynomials meet (up to 1 % apart) one turns into the other over 0.3 deg.
/// Below -18 deg, where they end on the light of a night without a moon, it stays at that.
double sun_lx(double altitude_deg);

/// The same without the light of the night: what the sun itself gives. It fades to none at -18 deg,
/// the end of astronomical twilight.
double sun_alone_lx(double altitude_deg);

/// Lux from the moon, as `sun_lx`. `elongation_deg` is its angle from the sun, `distance_km` that
/// from the earth's centre. Below -0.8 deg, where the polynomials end, it falls as the sun's does.
double moon_lx(double altitude_deg, double elongation_deg, double distance_km);

/// Luminance in cd/m2 of a sky of so many magnitudes (V) per square arcsecond: 10.8e4 10^(-0.4 m),
/// the customary conversion, good to a fifth.
double night_luminance_cd_m2(double mag_arcsec2);

/// The night sky's own luminance relative to the zenith's: Krisciunas & Schaefer 1991 (PASP 103,
/// 1033), airglow by the length of path, dimmed by their 0.172 mag an airmass.
double airglow_rise(double altitude_rad);

/// Lux on open level ground under a night sky of this brightness at its zenith.
double night_lx(double mag_arcsec2);

/// Share of a clear sky's light that is left under clouds: 1 - 0.75 n^3.4, Kasten & Czeplak, Solar
/// Energy 24 (1980), p. 177 (from memory). Found for the sun's energy by day; used for all of it.
double clouded(double cloud_share);

}  // namespace lampflight
