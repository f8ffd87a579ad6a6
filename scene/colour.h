// Colour of light by temperature, gels in mired, and adaptation to a white balance.
#pragma once

#include "scene/vector.h"

namespace lampflight {

/// Range of the published locus approximation below, in kelvin.
constexpr double lowest_temperature_k = 1667.0;
constexpr double highest_temperature_k = 25000.0;

/// CIE 1931 xy of a Planckian radiator: cubic approximation of Kang et al. 2002 (J. Korean Phys.
/// Soc. 41), within 6e-4 of the exact locus. Temperature is clamped to the range above.
Vec2 planckian_xy(double temperature_k);

/// Linear Rec. 709 of a Planckian radiator at luminance 1. Components may be negative for very
/// low temperatures, where the colour lies outside Rec. 709.
Rgb planckian_rgb(double temperature_k);

/// Temperature after a gel that shifts by so many mired: 1e6 / (1e6 / T + shift), no
/// higher than the range above.
double shifted_temperature_k(double temperature_k, double shift_mired);

/// Matrix on linear Rec. 709 that makes light of the white balance's temperature neutral:
/// Bradford adaptation from the Planckian xy to D65.
glm::dmat3 white_balance_matrix(double white_balance_k);

}  // namespace lampflight
