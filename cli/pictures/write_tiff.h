// Pictures of 16 bits to finish elsewhere, as TIFF 6.0.
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "cli/drawing/canvas.h"
#include "cli/pictures/picture_notes.h"
#include "renderer/film/image.h"

namespace lampflight {

/// The bytes of a TIFF file: 16-bit sRGB without dither, with its profile, packed without loss
/// (deflate, horizontal differences), title and settings as its description in UTF-8. `draw`, if any,
/// draws over the picture. Nothing when memory runs out.
std::optional<std::string> tiff_bytes(const Image& over_mid_grey, const PictureNotes& notes,
                                      const std::function<void(Canvas& canvas)>& draw = {});

}  // namespace lampflight
