// Which parts of a frame show surfaces, sky and what is out of focus, told without a ray: by level
// ground, the height of its hills, and boxes about subjects.
#pragma once

#include <vector>

#include "scene/shoot/placed_shoot.h"

namespace lampflight {

/// Shares of a frame's rows, 0 to 1: memory for a film is taken up by rows.
struct FrameShares {
    double surfaces;  ///< rows with some surface in them
    double sky;       ///< rows with some sky
    double blurred;   ///< rows out of focus by more than half a pixel, with their neighbours' discs
    double widest_blur_px;  ///< radius
};

/// At most what a picture of the camera's pixels can show at an f-number, never less.
FrameShares frame_shares(const PlacedShoot& shoot, double f_number);

}  // namespace lampflight
