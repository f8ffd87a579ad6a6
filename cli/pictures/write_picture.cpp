#include "cli/pictures/write_picture.h"

#include <algorithm>
#include <cstdint>
#include <span>
#include <stdexcept>
#include <utility>
#include <vector>

#include <fmt/format.h>
#include <stb_image_write.h>

#include "cli/pictures/write_exr.h"
#include "cli/pictures/write_png.h"
#include "cli/pictures/write_tiff.h"
#include "renderer/develop/tone.h"
#include "renderer/film/film_buffer.h"
#include "renderer/film/finite.h"
#include "scene/basics/wording.h"

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

/// The same picture, refused where a value is no number.
MakePicture sound(const MakePicture& make) {
    return [&make](const KeepRows& keep) {
        make([&](int first, const Image& rows) {
            for (int y = 0; y < rows.height; ++y)
                if (!all_finite(rows.row(y)))
                    throw std::domain_error(fmt::format(
                        "row {} of the picture holds what is no number; nothing was written",
                        first + y));
            keep(first, rows);
        });
    };
}

/// Developed as it comes: of the picture nothing but its codes is ever whole in memory.
std::optional<std::string> png_of(const glm::ivec2& size, const MakePicture& make,
                                  const PictureNotes& notes, const DrawOver& draw) {
    const std::size_t row_codes = 3 * static_cast<std::size_t>(size.x);
    const std::size_t count = row_codes * static_cast<std::size_t>(size.y);
    FilmBuffer<std::uint8_t> codes(count);
    make([&](int first, const Image& rows) {
        develop_srgb8(rows, first,
                      std::span(codes).subspan(row_codes * static_cast<std::size_t>(first),
                                               3 * rows.pixels.size()));
    });
    if (draw) {
        Canvas canvas(size.x, size.y, std::span<std::uint8_t>(codes));
        draw(canvas);
    }
    return png_bytes(codes, size.x, size.y, notes);
}

}  // namespace

std::optional<PictureKind> picture_kind(const std::filesystem::path& file) {
    const std::string extension = lower_case(file.extension().string());
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

std::optional<std::string> picture_bytes(const glm::ivec2& size, const MakePicture& make_any,
                                         PictureKind kind, const PictureNotes& notes,
                                         const DrawOver& draw) {
    const MakePicture make = sound(make_any);
    if (kind == PictureKind::png) return png_of(size, make, notes, draw);
    Image picture(size.x, size.y);
    make([&](int first, const Image& rows) {
        std::ranges::copy(rows.pixels, &picture.at(0, first));
    });
    if (kind == PictureKind::tiff) return tiff_bytes(picture, notes, draw);
    if (kind == PictureKind::exr) return exr_picture_bytes(picture);
    return hdr_bytes(std::move(picture));
}

}  // namespace lampflight
