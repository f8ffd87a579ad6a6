#include "cli/pictures/write_picture.h"

#include <algorithm>
#include <atomic>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
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

/// Encodes what is made.
std::optional<std::string> bytes_of_kind(const glm::ivec2& size, const MakePicture& make,
                                         PictureKind kind, const PictureNotes& notes,
                                         const DrawOver& draw) {
    if (kind == PictureKind::png) return png_of(size, make, notes, draw);
    Image picture(size.x, size.y);
    make([&](int first, const Image& rows) {
        std::ranges::copy(rows.pixels, &picture.at(0, first));
    });
    if (kind == PictureKind::tiff) return tiff_bytes(picture, notes, draw);
    if (kind == PictureKind::exr) return exr_picture_bytes(picture);
    return hdr_bytes(std::move(picture));
}

/// Looks at every value on its way to a file; rows come from several threads.
class FiniteRows {
public:
    explicit FiniteRows(int width) : width_(width) {}

    /// Whether all values of some rows are finite.
    bool check(int first, const Image& rows) {
        if (all_finite(rows.pixels)) return true;
        const auto wrong = std::ranges::find_if_not(
            rows.pixels, [](const glm::vec3& pixel) { return all_finite(ConstRow(&pixel, 1)); });
        const std::int64_t place = std::int64_t{first} * width_ + (wrong - rows.pixels.begin());
        std::int64_t known = first_wrong_;
        while (place < known && !first_wrong_.compare_exchange_weak(known, place)) {
        }
        return false;
    }

    /// The upper left pixel that is not; for any number of threads the same.
    std::optional<glm::ivec2> first_wrong() const {
        if (first_wrong_ == none) return std::nullopt;
        return glm::ivec2(first_wrong_ % width_, first_wrong_ / width_);
    }

private:
    static constexpr std::int64_t none = std::numeric_limits<std::int64_t>::max();
    int width_;
    std::atomic<std::int64_t> first_wrong_{none};
};

}  // namespace

std::optional<PictureKind> picture_kind(const std::filesystem::path& file) {
    const std::string extension = lower_case(file.extension().string());
    if (extension == ".png") return PictureKind::png;
    if (extension == ".tif" || extension == ".tiff") return PictureKind::tiff;
    if (extension == ".hdr") return PictureKind::hdr;
    if (extension == ".exr") return PictureKind::exr;
    return std::nullopt;
}

PictureBytes bytes_of(PictureKind kind) {
    switch (kind) {
        case PictureKind::png:
            return {3.0, 9.5};  // codes; filtered and packed, or packed twice
        case PictureKind::tiff:
            return {12.0, 32.0};  // floats; codes, the file and the file as it grows
        case PictureKind::exr:
            return {12.0, 34.0};  // the same
        case PictureKind::hdr:
            break;
    }
    return {12.0, 24.0};
}

std::string unknown_kind_text(const std::filesystem::path& file) {
    return fmt::format(
        "can't tell what kind of picture {} is; end its name in .png, in .tif for "
        "16 bits, or in .hdr or .exr for linear light",
        file.string());
}

Expected<std::string> picture_bytes(const glm::ivec2& size, const MakePicture& make,
                                    PictureKind kind, const PictureNotes& notes,
                                    const DrawOver& draw) {
    FiniteRows finite(size.x);
    const MakePicture make_checked = [&](const KeepRows& keep) {
        make([&](int first, const Image& rows) {
            if (finite.check(first, rows)) keep(first, rows);
        });
    };
    auto bytes = bytes_of_kind(size, make_checked, kind, notes, draw);
    if (const auto place = finite.first_wrong())
        return failure(
            ExitCode::fault,
            fmt::format("pixel {}, {} of the picture came out as no finite number, so no "
                        "picture was written; this is a fault of the program",
                        place->x, place->y));
    if (!bytes)
        return failure(ExitCode::fault, "not enough memory for the picture; try a smaller one");
    return *std::move(bytes);
}

}  // namespace lampflight
