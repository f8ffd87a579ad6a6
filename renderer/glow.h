// The lens's glow: a small share of all light is spread around where it belongs, so that a burnt
// core reads as light.
#pragma once

#include "renderer/image.h"

namespace lampflight {

/// The change that the spread makes to a film, in the film's unit: what is taken from each place
/// and laid around it. Adds up to nothing, but for what leaves the frame.
/// Share and widths are those of a clean wide lens, by eye from photographs (no source): 6 % in all,
/// in Gaussians of 0.15 to 12 % of the frame's height.
Image glow_of(const Image& film_lxs);

}  // namespace lampflight
