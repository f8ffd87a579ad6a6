// Spectral locus: CIE 1931 chromaticity by dominant wavelength, and what light can have at all.
#pragma once

#include "scene/basics/vector.h"

namespace lampflight {

/// In nanometres; beyond them the locus hardly moves.
constexpr double shortest_locus_nm = 400.0;
constexpr double longest_locus_nm = 700.0;

/// CIE 1931 xy of the equal-energy stimulus.
constexpr Vec2 equal_energy_xy{1.0 / 3.0, 1.0 / 3.0};

/// CIE 1931 xy of monochromatic light, from the 2-degree colour-matching functions of ISO/CIE
/// 11664-1 in steps of 10 nm, by Lagrange interpolation of these: within 0.004 of tables in steps
/// of 5 nm, and within 0.001 but from 480 to 520 nm. The wavelength is clamped to the range above.
Vec2 spectral_xy(double wavelength_nm);

/// CIE 1931 xy of light with a dominant wavelength and an excitation purity from 0, which is
/// equal-energy white, to 1, which is spectral (CIE 15; from that white as is customary for LEDs).
Vec2 dominant_xy(double wavelength_nm, double purity);

/// Whether there is light of a chromaticity: on or within the spectral locus and the line of
/// purples, and brighter than none; to the three digits that tables have.
bool is_light(const Vec2& xy);

}  // namespace lampflight
