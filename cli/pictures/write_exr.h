// A linear picture as an OpenEXR file of one part.
#pragma once

#include <string>

#include "renderer/film/image.h"

namespace lampflight {

/// The bytes of a file with channels R, G, B: linear Rec. 709 relative to mid-grey = 1, in half
/// floats, or in full where a value of either sign is beyond them, or the picture so dim (all of it
/// below 1/16, four stops under mid-grey) that they would lose its shadows.
std::string exr_picture_bytes(const Image& over_mid_grey);

}  // namespace lampflight
