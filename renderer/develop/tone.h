// Tone curve: from exposure relative to mid-grey to display values.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "renderer/film/image.h"
#include "scene/basics/colour.h"

namespace lampflight {

/// Exposure relative to mid-grey (1 = 10/S lux seconds) at which the sensor saturates: 78/10.
constexpr double saturation_over_mid_grey = 7.8;

/// Display-linear value of an exposure relative to mid-grey: straight through mid-grey
/// (1 gives the linear value of sRGB code 118) with a smooth shoulder that meets 1 at saturation.
double tone(double over_mid_grey);

/// Display-linear colour that even light comes out in, each component by its tone; unlike a
/// photograph's, no colour of the sensor clips before the others. `film_lxs` is linear Rec. 709.
glm::vec3 swatch_colour(const Rgb& film_lxs, double iso, const WhiteBalance& balance);

/// IEC 61966-2-1 transfer: display-linear to encoded value and back, 0 to 1.
double srgb_encode(double linear);
double srgb_decode(double encoded);

/// 8-bit sRGB, three bytes a pixel, rows from the top; ordered dither of half a code keeps
/// gradients free of bands.
std::vector<std::uint8_t> develop_srgb8(const Image& over_mid_grey);

/// The same for some rows of a picture, from `first` on. Works alone.
void develop_srgb8(const Image& rows, int first, std::span<std::uint8_t> codes);

/// 16-bit sRGB, three numbers a pixel, rows from the top, each the nearest to the curve: there is
/// no dither, for the steps are too fine to be seen.
std::vector<std::uint16_t> develop_srgb16(const Image& over_mid_grey);

}  // namespace lampflight
