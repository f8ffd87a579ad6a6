#include "cli/write_picture.h"

#include <algorithm>
#include <cctype>
#include <utility>

#include <fmt/format.h>
#include <stb_image_write.h>

#include "cli/write_exr.h"
#include "cli/write_png.h"
#include "cli/write_tiff.h"
#include "renderer/tone.h"

namespace lampflight {
namespace {

void append_to_string(void* context, void* data, int size) {
    static_cast<std::string*>(context)->append(static_cast<const char*>(data),
                                               static_cast<std::size_t>(size));
}

std::optional<std::string> hdr_bytes(Image over_mid_grey) {
    // The format has no sign.
    for (glm::vec3& pixel : over_mid_grey.pixels) pixel = glm::max(pixel, glm::vec3(0.0F));
    std::string bytes;
    const Image& picture = over_mid_grey;
    if (stbi_write_hdr_to_func(append_to_string, &bytes, picture.width, picture.height, 3,
                               floats_of(ConstRow(picture.pixels))) == 0)
        return std::nullopt;
    return bytes;
}

std::optional<FilePieces> png_of(const glm::ivec2& size, const MakePicture& make,
                                 const PictureNotes& notes) {
    PngWriter writer(size.x, size.y);
    make([&](int first, const Image& rows) {
        thread_local std::vector<std::uint8_t> codes;
        codes.resize(3 * rows.pixels.size());
        develop_srgb8(rows, first, codes);
        writer.add(first, codes);
    });
    return writer.finish(notes);
}

}  // namespace

std::optional<PictureKind> picture_kind(const std::filesystem::path& file) {
    std::string extension = file.extension().string();
    std::transform(extension.begin(), extension.end(), extension.begin(),
                   [](unsigned char letter) { return static_cast<char>(std::tolower(letter)); });
    if (extension == ".png") return PictureKind::png;
    if (extension == ".tif" || extension == ".tiff") return PictureKind::tiff;
    if (extension == ".hdr") return PictureKind::hdr;
    if (extension == ".exr") return PictureKind::exr;
    return std::nullopt;
}

std::string unknown_kind_text(const std::filesystem::path& file) {
    return fmt::format(
        "can't tell what kind of picture {} is; end its name in .png, in .tif for "
        "16 bits, or in .hdr or .exr for linear light",
        file.string());
}

std::optional<FilePieces> picture_pieces(const glm::ivec2& size, const MakePicture& make,
                                         PictureKind kind, const PictureNotes& notes) {
    if (kind == PictureKind::png) return png_of(size, make, notes);
    Image picture(size.x, size.y);
    make([&](int first, const Image& rows) {
        std::ranges::copy(rows.pixels, &picture.at(0, first));
    });
    std::optional<std::string> bytes;
    switch (kind) {
        case PictureKind::tiff:
            bytes = tiff_bytes(picture, notes);
            break;
        case PictureKind::exr:
            bytes = exr_picture_bytes(picture);
            break;
        default:
            bytes = hdr_bytes(std::move(picture));
            break;
    }
    if (!bytes) return std::nullopt;
    return FilePieces{*std::move(bytes)};
}

}  // namespace lampflight
