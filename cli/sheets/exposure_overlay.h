// The photograph's exposure as a picture: every stop in a colour of its own, with the scale, the
// metered points and where the trails are brightest.
#pragma once

#include "cli/drawing/canvas.h"
#include "renderer/meter/meter.h"

namespace lampflight {

/// `picture` and `reading` as `meter` takes and gives them. The scale stands below the photograph,
/// so that it hides nothing. A small photograph is enlarged by a whole number, so that the words
/// can be read.
Canvas exposure_overlay(const Shoot& shoot, const Image& picture, const MeterReading& reading);

}  // namespace lampflight
