// Pictures as bytes of a file, by the kind that the file's name asks for.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>

#include "cli/drawing/canvas.h"
#include "cli/pictures/picture_notes.h"
#include "cli/session/expected.h"
#include "renderer/develop/photograph.h"
#include "renderer/expose/memory_need.h"

namespace lampflight {

enum class PictureKind { png, tiff, hdr, exr };

/// By the extension (either case); nothing for any other.
std::optional<PictureKind> picture_kind(const std::filesystem::path& file);

/// What such a picture takes of memory while it is developed, and as the bytes of a file.
PictureBytes bytes_of(PictureKind kind);

/// What to say of a file of no kind.
std::string unknown_kind_text(const std::filesystem::path& file);

/// Makes a picture and hands its rows over, by several threads: linear Rec. 709 relative to
/// mid-grey = 1.
using MakePicture = std::function<void(const KeepRows& keep)>;

/// Draws over a developed picture.
using DrawOver = std::function<void(Canvas& canvas)>;

/// The bytes of a picture file. PNG: developed to 8-bit sRGB and marked as such, with the notes.
/// TIFF: 16-bit sRGB with the notes. HDR and EXR: linear light, over which nothing is drawn.
/// A failure when memory runs out, or when a value is not a finite number, which no kind can hold.
Expected<std::string> picture_bytes(const glm::ivec2& size, const MakePicture& make,
                                    PictureKind kind, const PictureNotes& notes,
                                    const DrawOver& draw = {});

}  // namespace lampflight
