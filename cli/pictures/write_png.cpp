#include "cli/pictures/write_png.h"

#include <string_view>
#include <utility>

#include <stb_image_write.h>

#include "cli/pictures/png_text.h"

namespace lampflight {
namespace {

/// 11.3.3.5: sRGB, perceptual intent, with its check sum.
constexpr std::string_view srgb_chunk("\0\0\0\1sRGB\0\xAE\xCE\x1C\xE9", 13);

/// Keywords are those of 11.3.4.2.
std::string text_chunks(const PictureNotes& notes) {
    std::string chunks;
    if (!notes.title.empty()) chunks += png_text_chunk("Title", notes.title);
    return chunks + png_text_chunk("Software", notes.software) +
           png_text_chunk("Comment", notes.settings);
}

/// A file of the picture writer's, with some chunks put in behind its header.
struct PngFile {
    std::string chunks;
    std::string bytes = {};

    void put_together(std::string_view file) {
        constexpr std::size_t header = 8 + 25;  // signature and header chunk
        bytes.reserve(file.size() + chunks.size());
        bytes.append(file.substr(0, header)).append(chunks).append(file.substr(header));
    }
};

void put_together(void* png, void* file, int size) {
    static_cast<PngFile*>(png)->put_together(
        {static_cast<const char*>(file), static_cast<std::size_t>(size)});
}

}  // namespace

std::optional<std::string> png_bytes(std::span<const std::uint8_t> codes, int width, int height,
                                     const PictureNotes& notes) {
    // Differences from the mean of left and above: the best single filter for grain on gradients,
    // and no trials.
    stbi_write_force_png_filter = 3;
    PngFile png{std::string(srgb_chunk) + text_chunks(notes)};
    if (stbi_write_png_to_func(put_together, &png, width, height, 3, codes.data(), width * 3) == 0)
        return std::nullopt;
    return std::move(png.bytes);
}

}  // namespace lampflight
