#include "cli/pictures/write_tiff.h"

#include <tiffio.h>

#include <algorithm>
#include <cstdint>
#include <cstring>
#include <memory>
#include <span>
#include <vector>

#include "cli/pictures/srgb_profile.h"
#include "renderer/develop/tone.h"

namespace lampflight {
namespace {

/// A file in memory, for the library to write to.
struct MemoryFile {
    std::string bytes;
    std::size_t place = 0;
};

MemoryFile& file_of(thandle_t handle) {
    return *static_cast<MemoryFile*>(handle);
}

tmsize_t read_bytes(thandle_t handle, void* to, tmsize_t size) {
    MemoryFile& file = file_of(handle);
    const std::size_t left = file.bytes.size() - std::min(file.place, file.bytes.size());
    const std::size_t count = std::min(left, static_cast<std::size_t>(size));
    if (count > 0) std::memcpy(to, file.bytes.data() + file.place, count);
    file.place += count;
    return static_cast<tmsize_t>(count);
}

/// C code calls this, so no exception may leave it.
tmsize_t write_bytes(thandle_t handle, void* from, tmsize_t size) try {
    MemoryFile& file = file_of(handle);
    const auto count = static_cast<std::size_t>(size);
    if (file.place + count > file.bytes.size()) file.bytes.resize(file.place + count);
    std::memcpy(file.bytes.data() + file.place, from, count);
    file.place += count;
    return size;
} catch (const std::bad_alloc&) {
    return -1;
}

toff_t seek(thandle_t handle, toff_t offset, int from) {
    MemoryFile& file = file_of(handle);
    std::size_t base = 0;
    if (from == SEEK_CUR) base = file.place;
    if (from == SEEK_END) base = file.bytes.size();
    file.place = base + static_cast<std::size_t>(offset);
    return file.place;
}

int close_nothing(thandle_t) {
    return 0;
}

toff_t size_of(thandle_t handle) {
    return file_of(handle).bytes.size();
}

using Tiff = std::unique_ptr<TIFF, decltype(&TIFFClose)>;

Tiff open_in(MemoryFile& file) {
    TIFFSetWarningHandler(nullptr);
    TIFFSetErrorHandler(nullptr);  // failures show in what the calls return
    return {TIFFClientOpen("picture", "w", &file, read_bytes, write_bytes, seek, close_nothing,
                           size_of, nullptr, nullptr),
            &TIFFClose};
}

void set_shape(TIFF* tiff, const Image& picture) {
    constexpr std::uint32_t strip_bytes = 1u << 20;
    const auto row_bytes = static_cast<std::uint32_t>(picture.width) * 6;
    TIFFSetField(tiff, TIFFTAG_IMAGEWIDTH, static_cast<std::uint32_t>(picture.width));
    TIFFSetField(tiff, TIFFTAG_IMAGELENGTH, static_cast<std::uint32_t>(picture.height));
    TIFFSetField(tiff, TIFFTAG_SAMPLESPERPIXEL, 3);
    TIFFSetField(tiff, TIFFTAG_BITSPERSAMPLE, 16);
    TIFFSetField(tiff, TIFFTAG_PHOTOMETRIC, PHOTOMETRIC_RGB);
    TIFFSetField(tiff, TIFFTAG_PLANARCONFIG, PLANARCONFIG_CONTIG);
    TIFFSetField(tiff, TIFFTAG_ORIENTATION, ORIENTATION_TOPLEFT);
    TIFFSetField(tiff, TIFFTAG_ROWSPERSTRIP, std::max(1u, strip_bytes / row_bytes));
    TIFFSetField(tiff, TIFFTAG_COMPRESSION, COMPRESSION_ADOBE_DEFLATE);
    TIFFSetField(tiff, TIFFTAG_PREDICTOR, PREDICTOR_HORIZONTAL);
    TIFFSetField(tiff, TIFFTAG_ZIPQUALITY, 1);  // more search finds little in noise
}

void set_words(TIFF* tiff, const PictureNotes& notes) {
    constexpr double print_pixels_per_inch = 300.0;
    TIFFSetField(tiff, TIFFTAG_XRESOLUTION, print_pixels_per_inch);
    TIFFSetField(tiff, TIFFTAG_YRESOLUTION, print_pixels_per_inch);
    TIFFSetField(tiff, TIFFTAG_RESOLUTIONUNIT, RESUNIT_INCH);
    const std::string profile = srgb_profile();
    TIFFSetField(tiff, TIFFTAG_ICCPROFILE, static_cast<std::uint32_t>(profile.size()),
                 profile.data());
    TIFFSetField(tiff, TIFFTAG_SOFTWARE, notes.software.c_str());
    const std::string description =
        notes.title.empty() ? notes.settings : notes.title + "\n" + notes.settings;
    TIFFSetField(tiff, TIFFTAG_IMAGEDESCRIPTION, description.c_str());
}

bool write_rows(TIFF* tiff, const Image& picture,
                const std::function<void(Canvas& canvas)>& draw) {
    std::vector<std::uint16_t> codes = develop_srgb16(picture);
    if (draw) {
        Canvas canvas(picture.width, picture.height, std::span<std::uint16_t>(codes));
        draw(canvas);
    }
    const std::size_t row_codes = static_cast<std::size_t>(picture.width) * 3;
    for (int y = 0; y < picture.height; ++y)
        if (TIFFWriteScanline(tiff, codes.data() + row_codes * static_cast<std::size_t>(y),
                              static_cast<std::uint32_t>(y)) != 1)
            return false;
    return TIFFFlush(tiff) == 1;
}

}  // namespace

std::optional<std::string> tiff_bytes(const Image& over_mid_grey, const PictureNotes& notes,
                                      const std::function<void(Canvas& canvas)>& draw) {
    MemoryFile file;
    {
        const Tiff tiff = open_in(file);
        if (tiff == nullptr) return std::nullopt;
        set_shape(tiff.get(), over_mid_grey);
        set_words(tiff.get(), notes);
        if (!write_rows(tiff.get(), over_mid_grey, draw)) return std::nullopt;
    }
    return std::move(file.bytes);
}

}  // namespace lampflight
