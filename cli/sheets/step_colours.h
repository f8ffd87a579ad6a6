// The colours of the exposure overlay: one for each stop, cold under mid-grey and warm over it,
// lighter with every stop, so that those who tell no colours apart read it as well.
#pragma once

#include <cstddef>

#include "cli/drawing/canvas.h"

namespace lampflight {

/// The steps between black and burnt, and where in the steps of exposure_steps.h they begin.
std::size_t coloured_steps();
std::size_t first_coloured_step();

/// Of a step of exposure_steps.h; black and burnt are even here and hatched in the picture.
Colour8 colour_of_step(std::size_t step);

}  // namespace lampflight
