// The lens's glow: a small share of all light is spread around where it belongs, so that a burnt
// core reads as light.
#pragma once

#include "renderer/image.h"

namespace lampflight {

/// Share of all light that is spread; the rest stays where the lens draws it.
constexpr float glow_share = 0.06f;

/// The change that the spread makes to a film, in the film's unit: what is taken from each place
/// and laid around it. Adds up to nothing, but for what leaves the frame.
/// Share and widths are those of a clean wide lens, by eye from photographs (no source), in
/// Gaussians of 0.15 to 12 % of the frame's height.
Image glow_of(const Image& film_lxs);

}  // namespace lampflight
