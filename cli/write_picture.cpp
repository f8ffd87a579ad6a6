#include "cli/write_picture.h"

#include <algorithm>
#include <cctype>
#include <cstdint>
#include <string_view>
#include <vector>

#include <stb_image_write.h>

#include "cli/png_text.h"
#include "cli/write_tiff.h"
#include "renderer/tone.h"

namespace lampflight {
namespace {

void append_to_string(void* context, void* data, int size) {
    static_cast<std::string*>(context)->append(static_cast<const char*>(data),
                                               static_cast<std::size_t>(size));
}

/// Chunks go behind the signature (8 bytes) and the header chunk (25 bytes).
void insert_chunks(std::string& png, const std::string& chunks) {
    constexpr std::size_t behind_header = 8 + 25;
    png.insert(behind_header, chunks);
}

/// ISO/IEC 15948 (PNG), 11.3.3.5: sRGB, perceptual intent, with its check sum.
constexpr std::string_view srgb_chunk("\0\0\0\1sRGB\0\xAE\xCE\x1C\xE9", 13);

/// Keywords are those of ISO/IEC 15948, 11.3.4.2.
std::string text_chunks(const PictureNotes& notes) {
    std::string chunks;
    if (!notes.title.empty()) chunks += png_text_chunk("Title", notes.title);
    return chunks + png_text_chunk("Software", notes.software) +
           png_text_chunk("Comment", notes.settings);
}

bool encode_png(const Image& over_mid_grey, const PictureNotes& notes, std::string& bytes) {
    // Differences from the mean of left and above: the best single filter for grain on gradients,
    // and no trials.
    stbi_write_force_png_filter = 3;
    const std::vector<std::uint8_t> codes = develop_srgb8(over_mid_grey);
    const bool done =
        stbi_write_png_to_func(append_to_string, &bytes, over_mid_grey.width, over_mid_grey.height,
                               3, codes.data(), over_mid_grey.width * 3) != 0;
    if (done) insert_chunks(bytes, std::string(srgb_chunk) + text_chunks(notes));
    return done;
}

bool encode_hdr(Image& over_mid_grey, std::string& bytes) {
    // The format has no sign.
    for (glm::vec3& pixel : over_mid_grey.pixels) pixel = glm::max(pixel, glm::vec3(0.0F));
    const Image& picture = over_mid_grey;
    return stbi_write_hdr_to_func(append_to_string, &bytes, picture.width, picture.height, 3,
                                  floats_of(ConstRow(picture.pixels))) != 0;
}

}  // namespace

std::optional<PictureKind> picture_kind(const std::filesystem::path& file) {
    std::string extension = file.extension().string();
    std::transform(extension.begin(), extension.end(), extension.begin(),
                   [](unsigned char letter) { return static_cast<char>(std::tolower(letter)); });
    if (extension == ".png") return PictureKind::png;
    if (extension == ".tif" || extension == ".tiff") return PictureKind::tiff;
    if (extension == ".hdr") return PictureKind::hdr;
    return std::nullopt;
}

std::optional<std::string> picture_bytes(Image over_mid_grey, PictureKind kind,
                                         const PictureNotes& notes) {
    if (kind == PictureKind::tiff) return tiff_bytes(over_mid_grey, notes);
    std::string bytes;
    const bool done = kind == PictureKind::png ? encode_png(over_mid_grey, notes, bytes)
                                               : encode_hdr(over_mid_grey, bytes);
    if (!done) return std::nullopt;
    return bytes;
}

}  // namespace lampflight
