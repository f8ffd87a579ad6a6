// Phase functions: which way air sends the light that it scatters. Phase functions are per
// steradian, by the cosine of the angle that light is turned by, and integrate to 1 over the
// sphere.
#pragma once

namespace lampflight {

double rayleigh_phase(double cosine);

/// Henyey & Greenstein 1941.
double lobe_phase(double cosine, double asymmetry);

/// Haze: a broad lobe, and a narrow one of the largest grains that makes the glow about sun and
/// moon. Their asymmetries and shares are our fit to the fall of moonlit haze from 10 to 50
/// degrees, 10^(-rho / 40 deg) of Krisciunas & Schaefer 1991, and to a mean cosine of 0.7, as haze
/// over land has (from memory).
constexpr double broad_asymmetry = 0.66;
constexpr double narrow_asymmetry = 0.95;
constexpr double narrow_share = 0.12;

double haze_phase(double cosine);

/// What of the narrow lobe rises above its level 30 degrees off; haze_phase less this is smooth
/// enough for a table.
double haze_peak(double cosine);

/// Where that begins.
constexpr double peak_edge_cosine = 0.8660254037844386;

}  // namespace lampflight
