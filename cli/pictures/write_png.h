// PNG files of 8-bit sRGB.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>

#include "cli/pictures/picture_notes.h"

namespace lampflight {

/// The bytes of a PNG file (ISO/IEC 15948), marked as sRGB, with the notes as text: `codes` are
/// three bytes a pixel, rows from the top. Nothing when memory runs out.
std::optional<std::string> png_bytes(std::span<const std::uint8_t> codes, int width, int height,
                                     const PictureNotes& notes);

}  // namespace lampflight
