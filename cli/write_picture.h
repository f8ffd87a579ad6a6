// Pictures as bytes of a file, by the kind that the file's name asks for.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "cli/picture_notes.h"
#include "renderer/image.h"

namespace lampflight {

enum class PictureKind { png, tiff, hdr, exr };

/// By the extension (either case); nothing for any other.
std::optional<PictureKind> picture_kind(const std::filesystem::path& file);

/// What to say of a file of no kind.
std::string unknown_kind_text(const std::filesystem::path& file);

/// The bytes of a picture file. PNG: developed to 8-bit sRGB and marked as such, with the notes.
/// TIFF: 16-bit sRGB with the notes. HDR and EXR: linear Rec. 709 relative to
/// mid-grey = 1. Nothing when
/// memory runs out.
std::optional<std::string> picture_bytes(Image over_mid_grey, PictureKind kind,
                                         const PictureNotes& notes);

}  // namespace lampflight
