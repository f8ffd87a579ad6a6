// The lens's glow: a small share of all light is spread around where it belongs, so that a burnt
// core reads as light.
#pragma once

#include "renderer/blur.h"

namespace lampflight {

/// Share of all light that is spread; the rest stays where the lens draws it.
constexpr float glow_share = 0.06f;

/// What the lens spreads of one film. Share and widths are those of a clean wide lens, by eye from
/// photographs (no source), in Gaussians of 0.15 to 12 % of the frame's height. Their sum is kept
/// at the coarsest size that still draws the narrowest.
class Glow {
public:
    Glow(int width, int height, const ReadRow& film);

    /// Turns a row of the film into the row with its glow, in the film's unit. Over the frame this
    /// adds up to nothing, but for what leaves it.
    void lay_on(int y, Row row) const;

private:
    Image spread_;  ///< of all light, at half the size or the film's own
    bool half_size_;
};

}  // namespace lampflight
