#include "cli/write_png.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <string_view>

#include "cli/big_endian.h"
#include "cli/png_chunks.h"

namespace lampflight {
namespace {

using namespace std::string_view_literals;

constexpr std::size_t pixel_bytes = 3;

/// Clause 9.2: differences from the mean of left and above, the best single filter for grain on
/// gradients, and no trials. A run's first row has none above and takes differences from the left.
void filter_row(const std::uint8_t* row, const std::uint8_t* above, std::size_t count, char* to) {
    enum : char { sub = 1, average = 3 };
    *to++ = above == nullptr ? sub : average;
    const auto filtered = [&](std::size_t i, unsigned left) {
        const unsigned expected = above == nullptr ? left : (left + above[i]) / 2;
        to[i] = static_cast<char>(row[i] - expected);
    };
    for (std::size_t i = 0; i < pixel_bytes; ++i) filtered(i, 0);
    if (above == nullptr)
        for (std::size_t i = pixel_bytes; i < count; ++i)
            to[i] = static_cast<char>(row[i] - row[i - pixel_bytes]);
    else
        for (std::size_t i = pixel_bytes; i < count; ++i)
            to[i] = static_cast<char>(row[i] - (row[i - pixel_bytes] + above[i]) / 2);
}

/// 11.2.2: eight bits, three colours, the one compression and filtering there is, no interlace.
std::string header(int width, int height) {
    return png_chunk("IHDR", big_endian(static_cast<std::uint32_t>(width)) +
                                 big_endian(static_cast<std::uint32_t>(height)) +
                                 std::string("\x08\x02\0\0\0"sv));
}

/// Keywords are those of 11.3.4.2.
std::string text_chunks(const PictureNotes& notes) {
    std::string chunks;
    if (!notes.title.empty()) chunks += png_text_chunk("Title", notes.title);
    return chunks + png_text_chunk("Software", notes.software) +
           png_text_chunk("Comment", notes.settings);
}

}  // namespace

PngWriter::PngWriter(int width, int height)
    : row_bytes_(pixel_bytes * static_cast<std::size_t>(width)), width_(width), height_(height) {}

void PngWriter::add(int first, std::span<const std::uint8_t> codes) {
    const std::size_t rows = codes.size() / row_bytes_;
    thread_local std::string lines;  // kept, as fresh memory costs as much as the filter
    lines.resize(rows * (row_bytes_ + 1));
    for (std::size_t i = 0; i < rows; ++i) {
        const std::uint8_t* const row = codes.data() + i * row_bytes_;
        filter_row(row, i == 0 ? nullptr : row - row_bytes_, row_bytes_,
                   lines.data() + i * (row_bytes_ + 1));
    }
    std::string chunk = png_chunk("IDAT", [&](std::string& data) {
        if (first == 0) data += zlib_head;
        return add_deflated(lines, first + static_cast<int>(rows) == height_, data);
    });
    chunk.shrink_to_fit();
    const DataSum sum = sum_of(lines);
    const std::scoped_lock lock(mutex_);
    runs_[first] = {std::move(chunk), sum};
}

std::optional<FilePieces> PngWriter::finish(const PictureNotes& notes) {
    // 11.3.3.5: perceptual intent.
    FilePieces pieces{"\x89PNG\r\n\x1a\n" + header(width_, height_) + png_chunk("sRGB", "\0"sv) +
                      text_chunks(notes)};
    std::vector<DataSum> sums;
    for (auto& [first, run] : runs_) {
        if (run.chunk.empty()) return std::nullopt;
        pieces.push_back(std::move(run.chunk));
        sums.push_back(run.sum);
    }
    pieces.push_back(png_chunk("IDAT", zlib_tail(sums)) + png_chunk("IEND", ""sv));
    return pieces;
}

std::optional<FilePieces> png_pieces(const std::vector<std::uint8_t>& codes, int width, int height,
                                     const PictureNotes& notes) {
    constexpr int run_rows = 64;
    PngWriter writer(width, height);
    const std::size_t row_bytes = pixel_bytes * static_cast<std::size_t>(width);
    tbb::parallel_for(0, (height + run_rows - 1) / run_rows, [&](int run) {
        const int first = run * run_rows;
        const int rows = std::min(run_rows, height - first);
        writer.add(first, std::span(codes).subspan(static_cast<std::size_t>(first) * row_bytes,
                                                   static_cast<std::size_t>(rows) * row_bytes));
    });
    return writer.finish(notes);
}

}  // namespace lampflight
