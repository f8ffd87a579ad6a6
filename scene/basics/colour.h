// Colorimetry: colour of light by temperature, gels in mired, adaptation to a white balance.
#pragma once

#include "scene/basics/vector.h"

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

/// Linear Rec. 709 of light of a CIE 1931 chromaticity at luminance 1; y must be above zero.
/// Components are negative where it lies outside Rec. 709.
Rgb rgb_of_xy(const Vec2& xy);

/// Temperature after a gel that shifts by so many mired: 1e6 / (1e6 / T + shift), no
/// higher than the range above.
double shifted_temperature_k(double temperature_k, double shift_mired);

/// Light that a white balance makes neutral: a temperature, and how far it lies off the Planckian
/// locus in CIE 1960 uv (Duv), across the locus; plus is greenish.
struct WhiteBalance {
    double temperature_k = 5200.0;
    double duv = 0.0;
};

/// CIE 1931 xy of that light.
Vec2 white_balance_xy(const WhiteBalance& balance);

/// The three colours that the sensor's pixels see behind their filters: Bradford's sharpened cone
/// responses (Lam 1985; matrix as in ICC.1:2010, annex E), alike for D65. They stand for a generic
/// sensor: filters overlap, and no visible light gives a count below none but by a hair.
/// From linear Rec. 709 and back; neutral stays neutral, at the same level.
const glm::dmat3& sensor_from_rgb();
const glm::dmat3& rgb_from_sensor();

/// Gain of each of these colours under a white balance; light of its own comes out neutral, as
/// bright as its luminance. The greatest is 1 or more, and 50 at most.
Vec3 white_balance_gains(const WhiteBalance& balance);

/// All of it on linear Rec. 709: Bradford adaptation from the white balance's xy to D65.
glm::dmat3 white_balance_matrix(const WhiteBalance& balance);

}  // namespace lampflight
