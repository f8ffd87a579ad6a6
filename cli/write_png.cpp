#include "cli/write_png.h"

#include <string_view>

#include <stb_image_write.h>

#include "cli/png_text.h"

namespace lampflight {
namespace {

void append_to_string(void* context, void* data, int size) {
    static_cast<std::string*>(context)->append(static_cast<const char*>(data),
                                               static_cast<std::size_t>(size));
}

/// 11.3.3.5: sRGB, perceptual intent, with its check sum.
constexpr std::string_view srgb_chunk("\0\0\0\1sRGB\0\xAE\xCE\x1C\xE9", 13);

/// Keywords are those of 11.3.4.2.
std::string text_chunks(const PictureNotes& notes) {
    std::string chunks;
    if (!notes.title.empty()) chunks += png_text_chunk("Title", notes.title);
    return chunks + png_text_chunk("Software", notes.software) +
           png_text_chunk("Comment", notes.settings);
}

}  // namespace

std::optional<std::string> png_bytes(const std::vector<std::uint8_t>& codes, int width, int height,
                                     const PictureNotes& notes) {
    constexpr std::size_t behind_header = 8 + 25;  // signature and header chunk
    // Differences from the mean of left and above: the best single filter for grain on gradients,
    // and no trials.
    stbi_write_force_png_filter = 3;
    std::string bytes;
    if (stbi_write_png_to_func(append_to_string, &bytes, width, height, 3, codes.data(),
                               width * 3) == 0)
        return std::nullopt;
    bytes.insert(behind_header, std::string(srgb_chunk) + text_chunks(notes));
    return bytes;
}

}  // namespace lampflight
