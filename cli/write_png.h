// PNG files of 8-bit sRGB.
#pragma once

#include <cstdint>
#include <map>
#include <mutex>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "cli/deflate.h"
#include "cli/picture_notes.h"
#include "cli/whole_file.h"

namespace lampflight {

/// A PNG file (ISO/IEC 15948), marked as sRGB, that is packed run of rows by run of rows. Codes are
/// three bytes a pixel, rows from the top.
class PngWriter {
public:
    PngWriter(int width, int height);

    /// Packs some rows from `first` on. By several threads, each row once; the file's bytes depend
    /// on how rows are shared out, but not on the threads.
    void add(int first, std::span<const std::uint8_t> codes);

    /// The file with the notes as text, once all rows are there. Nothing when memory ran out.
    std::optional<FilePieces> finish(const PictureNotes& notes);

private:
    struct Run {
        std::string chunk;  ///< empty when memory ran out
        DataSum sum;
    };

    std::size_t row_bytes_;
    int width_;
    int height_;
    std::mutex mutex_;
    std::map<int, Run> runs_;  ///< by their first rows
};

/// The same of codes that are all there.
std::optional<FilePieces> png_pieces(const std::vector<std::uint8_t>& codes, int width, int height,
                                     const PictureNotes& notes);

}  // namespace lampflight
