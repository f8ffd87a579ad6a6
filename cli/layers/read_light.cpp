#include "cli/layers/read_light.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>
#include <span>
#include <vector>

#include <OpenEXR/ImfChannelList.h>

#include "cli/layers/trail_columns.h"
#include "cli/layers/unfit_layers.h"
#include "cli/pictures/exr_colours.h"
#include "scene/basics/vector.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

constexpr int band_rows = 64;
constexpr float largest_lxs = 1e12f;

bool is_light(const glm::vec3& lxs) {
    const auto in_range = [](float value) { return std::abs(value) <= largest_lxs; };
    if (!in_range(lxs.x) || !in_range(lxs.y) || !in_range(lxs.z)) return false;
    // A colour beyond Rec. 709 may lack one component, but no light is darker than none.
    const float most = std::max({std::abs(lxs.x), std::abs(lxs.y), std::abs(lxs.z)});
    return luminance(Rgb(lxs)) >= -1e-3 * static_cast<double>(most);
}

/// Throws UnfitLayers if some pixels are no light: no number, beyond all measure, or darker than
/// none.
void check_light(ConstRow pixels, const std::string& layer) {
    int beyond = 0;
    for (const float value : std::span(floats_of(pixels), 3 * pixels.size()))
        beyond |= static_cast<int>(!(value >= 0.0f && value <= largest_lxs));
    if (beyond != 0 && !std::ranges::all_of(pixels, is_light))
        throw UnfitLayers{in_quotes(layer) + " holds what is no light"};
}

std::size_t bytes_of(Imf::PixelType type) {
    return type == Imf::HALF ? 2 : 4;
}

/// Puts a sample of a file where a float or a whole number belongs.
void place_sample(Imf::PixelType type, const char* from, char* to) {
    if (type != Imf::HALF) {
        std::memcpy(to, from, 4);
        return;
    }
    half value;
    std::memcpy(&value, from, sizeof value);
    const float full = value;
    std::memcpy(to, &full, sizeof full);
}

/// Takes a row of an uncompressed part apart (OpenEXR File Layout: channels in the order of their
/// names, lowest byte first).
void place_row(const Imf::Header& part, const char* from, const Imf::FrameBuffer& buffer, int y) {
    static_assert(std::endian::native == std::endian::little);
    const Imath::Box2i& window = part.dataWindow();
    for (auto i = part.channels().begin(); i != part.channels().end(); ++i) {
        const Imf::PixelType type = i.channel().type;
        const Imf::Slice* const slice = buffer.findSlice(i.name());
        for (int x = window.min.x; x <= window.max.x; ++x, from += bytes_of(type))
            if (slice != nullptr)
                place_sample(type, from,
                             slice->base + static_cast<std::ptrdiff_t>(slice->yStride) * y +
                                 static_cast<std::ptrdiff_t>(slice->xStride) * x);
    }
}

/// Fills a buffer, of floats and whole numbers, with the rows from one to another. Throws
/// UnfitLayers where a row says that it is shorter than its pixels.
void read_rows(Imf::InputPart& part, const Imf::FrameBuffer& buffer, int first, int last) {
    if (part.header().compression() != Imf::NO_COMPRESSION) {
        part.setFrameBuffer(buffer);
        part.readPixels(first, last);
        return;
    }
    // The library would take uncompressed rows byte by byte, and what follows a short one for its
    // rest.
    const std::size_t bytes = row_bytes(part.header());
    std::vector<char> rows(bytes * static_cast<std::size_t>(last - first + 1));
    const auto row = [&](int y) { return &rows[bytes * static_cast<std::size_t>(y - first)]; };
    for (int y = first; y <= last; ++y) {
        int size = static_cast<int>(bytes);
        part.rawPixelDataToBuffer(y, row(y), size);
        if (size != static_cast<int>(bytes))
            throw UnfitLayers{"it is damaged (a row is too short)"};
    }
    tbb::parallel_for(first, last + 1, [&](int y) { place_row(part.header(), row(y), buffer, y); });
}

}  // namespace

std::uint64_t row_bytes(const Imf::Header& part) {
    std::uint64_t pixel_bytes = 0;
    for (auto i = part.channels().begin(); i != part.channels().end(); ++i)
        pixel_bytes += bytes_of(i.channel().type);
    const Imath::Box2i& window = part.dataWindow();
    return pixel_bytes * static_cast<std::uint64_t>(window.max.x - window.min.x + 1);
}

void add_film(Imf::InputPart& part, const std::string& layer, const glm::vec3& gain, float scale,
              Image& sum) {
    const Imath::Box2i& window = part.header().dataWindow();
    Image band(sum.width, band_rows);
    for (int top = window.min.y; top <= window.max.y; top += band_rows) {
        const int rows = std::min(band_rows, window.max.y - top + 1);
        const Imath::Box2i here({0, top}, {sum.width - 1, top + rows - 1});
        read_rows(part, colour_buffer(Imf::FLOAT, floats_of(band.row(0)), here, layer + '.'), top,
                  top + rows - 1);
        tbb::parallel_for(0, rows, [&](int i) {
            const Row row = band.row(i);
            check_light(row, layer);
            for (glm::vec3& pixel : row) pixel *= gain;
            add_scaled(sum.row(top + i), row, scale);
        });
    }
}

void add_trail(Imf::InputPart& part, const std::string& layer, const TrailInFile& trail,
               const glm::vec3& gain, const glm::ivec2& pixels, TrailFilm& sum) {
    TrailColumns columns(trail.reached_pixels, trail.parts_across);
    read_rows(part, columns.buffer(), 0, columns.size.y - 1);
    const auto reached = static_cast<std::size_t>(trail.reached_pixels);
    columns.exposures_lxs.resize(reached * columns.parts_per_pixel);
    check_light(columns.exposures_lxs, layer);
    for (glm::vec3& exposure_lxs : columns.exposures_lxs) exposure_lxs *= gain;
    const std::span<const glm::vec3> exposures_lxs = columns.exposures_lxs;
    std::uint64_t last = 0;
    for (std::size_t i = 0; i < reached; ++i) {
        const std::uint32_t x = columns.x[i], y = columns.y[i];
        if (x >= static_cast<std::uint32_t>(pixels.x) || y >= static_cast<std::uint32_t>(pixels.y))
            throw UnfitLayers{in_quotes(layer) + " lies outside the frame"};
        const std::uint64_t place = std::uint64_t{y} * static_cast<std::uint32_t>(pixels.x) + x;
        if (i > 0 && place <= last) throw UnfitLayers{in_quotes(layer) + " is in disorder"};
        last = place;
        sum.add_pixel(static_cast<int>(x), static_cast<int>(y),
                      exposures_lxs.subspan(i * columns.parts_per_pixel, columns.parts_per_pixel));
    }
}

}  // namespace lampflight
