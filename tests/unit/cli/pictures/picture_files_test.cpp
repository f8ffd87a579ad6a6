// Picture files read back by the reference libraries of their formats, libpng and libtiff, and
// PNG's chunks by the layout of ISO/IEC 15948, clause 5.3.
#include "cli/pictures/write_picture.h"

#include <doctest/doctest.h>
#include <png.h>
#include <tbb/global_control.h>
#include <tiffio.h>
#include <zlib.h>

#include <cmath>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <map>
#include <memory>

#include "cli/pictures/png_text.h"
#include "cli/pictures/srgb_profile.h"
#include "renderer/develop/tone.h"
#include "renderer/sampling/low_discrepancy.h"

using namespace lampflight;

namespace {

namespace fs = std::filesystem;

const PictureNotes notes{"Høle 月 über dem Steinbruch", "Lampflight test",
                         "Camera: 14 mm\nTake low: ISO 800\n"};

/// Every level from darkness to well over white, another in each channel.
Image all_levels(int width, int height) {
    Image picture(width, height);
    const auto count = static_cast<float>(picture.pixels.size());
    for (std::size_t i = 0; i < picture.pixels.size(); ++i) {
        const float x = static_cast<float>(i) / count;
        picture.pixels[i] = {9.0f * x * x, 8.0f * (1.0f - x), x - 0.01f};
    }
    return picture;
}

std::string bytes_of(const Image& picture, PictureKind kind, const PictureNotes& of = notes) {
    const auto bytes = picture_bytes(
        {picture.width, picture.height}, [&](const KeepRows& keep) { keep(0, picture); }, kind, of);
    REQUIRE(static_cast<bool>(bytes));
    return *bytes;
}

/// A file that lives as long as the test.
struct TemporaryFile {
    fs::path path;

    explicit TemporaryFile(const std::string& bytes) {
        std::string name = (fs::temp_directory_path() / "lampflight-picture-XXXXXX").string();
        const int descriptor = ::mkstemp(name.data());
        REQUIRE(descriptor >= 0);
        ::close(descriptor);
        path = name;
        std::ofstream(path, std::ios::binary) << bytes;
    }

    ~TemporaryFile() {
        std::error_code ignored;
        fs::remove(path, ignored);
    }
};

struct ReadPng {
    png_uint_32 width, height;
    std::vector<png_byte> codes;
    std::map<std::string, std::string> texts;
    int srgb_intent = -1;
};

/// As libpng reads it; it checks every chunk's sum and calls out what is not in order.
ReadPng read_png(const std::string& bytes) {
    ReadPng read{};
    const TemporaryFile file(bytes);
    const std::unique_ptr<std::FILE, decltype(&std::fclose)> stream(
        std::fopen(file.path.c_str(), "rb"), &std::fclose);
    REQUIRE(stream != nullptr);
    const auto refuse = [](png_structp, png_const_charp message) {
        throw std::runtime_error(message);
    };
    png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, nullptr, refuse, refuse);
    png_infop info = png_create_info_struct(png);
    png_init_io(png, stream.get());
    png_read_png(png, info, PNG_TRANSFORM_IDENTITY, nullptr);
    read.width = png_get_image_width(png, info);
    read.height = png_get_image_height(png, info);
    REQUIRE(png_get_bit_depth(png, info) == 8);
    REQUIRE(png_get_color_type(png, info) == PNG_COLOR_TYPE_RGB);
    png_bytepp rows = png_get_rows(png, info);
    for (png_uint_32 y = 0; y < read.height; ++y)
        read.codes.insert(read.codes.end(), rows[y], rows[y] + std::size_t{3} * read.width);
    png_textp texts = nullptr;
    const int count = png_get_text(png, info, &texts, nullptr);
    for (int i = 0; i < count; ++i) read.texts[texts[i].key] = texts[i].text;
    png_get_sRGB(png, info, &read.srgb_intent);
    png_destroy_read_struct(&png, &info, nullptr);
    return read;
}

struct Chunk {
    std::string type, data;
    unsigned long sum;  ///< as stated
};

unsigned long big_endian(const std::string& bytes, std::size_t at) {
    unsigned long value = 0;
    for (std::size_t i = 0; i < 4; ++i)
        value = value << 8U | static_cast<unsigned char>(bytes.at(at + i));
    return value;
}

/// Length, type, data, check sum, one after another behind `at`.
std::vector<Chunk> chunks_of(const std::string& bytes, std::size_t at) {
    std::vector<Chunk> chunks;
    while (at < bytes.size()) {
        const std::size_t size = big_endian(bytes, at);
        chunks.push_back({bytes.substr(at + 4, 4), bytes.substr(at + 8, size),
                          big_endian(bytes, at + 8 + size)});
        at += 12 + size;
    }
    REQUIRE(at == bytes.size());
    return chunks;
}

using Tiff = std::unique_ptr<TIFF, decltype(&TIFFClose)>;

template <class Value>
Value tag(TIFF* tiff, std::uint32_t number) {
    Value value{};
    REQUIRE(TIFFGetField(tiff, number, &value) == 1);
    return value;
}

}  // namespace

TEST_CASE("PNG: pixels, sRGB and texts, as libpng reads them") {
    const Image picture = all_levels(61, 43);
    const ReadPng read = read_png(bytes_of(picture, PictureKind::png));
    CHECK(read.width == 61);
    CHECK(read.height == 43);
    CHECK(read.codes == develop_srgb8(picture));
    CHECK(read.srgb_intent == PNG_sRGB_INTENT_PERCEPTUAL);
    CHECK(read.texts == std::map<std::string, std::string>{{"Title", notes.title},
                                                           {"Software", notes.software},
                                                           {"Comment", notes.settings}});
}

TEST_CASE("PNG: a picture that came in pieces, the last first, as libpng reads it") {
    const Image picture = all_levels(61, 43);
    const auto codes = develop_srgb8(picture);
    const auto bytes = picture_bytes(
        {61, 43},
        [&](const KeepRows& keep) {
            for (const glm::ivec2 rows : {glm::ivec2(40, 43), {0, 17}, {17, 40}}) {
                Image run(61, rows.y - rows.x);
                std::copy_n(&picture.at(0, rows.x), run.pixels.size(), run.pixels.begin());
                keep(rows.x, run);
            }
        },
        PictureKind::png, notes);
    REQUIRE(static_cast<bool>(bytes));
    CHECK(read_png(*bytes).codes == codes);
}

TEST_CASE("PNG: a large picture of noise is the same with any number of threads, and smaller") {
    Image picture(1201, 800);
    for (std::size_t i = 0; i < picture.pixels.size(); ++i)
        picture.pixels[i] = glm::vec3(
            0.2f + 0.01f * static_cast<float>(hash_of(static_cast<std::uint32_t>(i), 3u) % 7u));
    const std::string bytes = bytes_of(picture, PictureKind::png);
    CHECK(read_png(bytes).codes == develop_srgb8(picture));
    CHECK(bytes.size() < 3 * picture.pixels.size() / 2);
    const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, 1);
    CHECK(bytes_of(picture, PictureKind::png) == bytes);
}

TEST_CASE("PNG: order and sums of the chunks") {
    const auto chunks = chunks_of(bytes_of(all_levels(16, 9), PictureKind::png), 8);
    std::vector<std::string> types;
    for (const Chunk& chunk : chunks) {
        CAPTURE(chunk.type);
        types.push_back(chunk.type);
        const std::string summed = chunk.type + chunk.data;
        CHECK(chunk.sum == crc32(0, reinterpret_cast<const Bytef*>(summed.data()),
                                 static_cast<uInt>(summed.size())));
    }
    CHECK(types ==
          std::vector<std::string>{"IHDR", "sRGB", "iTXt", "tEXt", "tEXt", "IDAT", "IEND"});
}

TEST_CASE("PNG: a picture without a title has no title") {
    const ReadPng read =
        read_png(bytes_of(all_levels(4, 4), PictureKind::png, {"", "Lampflight", "ISO 100\n"}));
    CHECK(read.texts ==
          std::map<std::string, std::string>{{"Software", "Lampflight"}, {"Comment", "ISO 100\n"}});
}

// Check sum worked out by zlib's crc32; layout from 11.3.4.3.
TEST_CASE("PNG: a text chunk byte by byte") {
    const std::string chunk = png_text_chunk("Title", "Halo");
    const std::string data = std::string("tEXtTitle\0Halo", 14);
    CHECK(chunk.substr(0, 4) == std::string("\0\0\0\x0A", 4));
    CHECK(chunk.substr(4, data.size()) == data);
    CHECK(big_endian(chunk, 18) ==
          crc32(0, reinterpret_cast<const Bytef*>(data.data()), static_cast<uInt>(data.size())));
    CHECK(chunk.size() == 22);
}

TEST_CASE("TIFF: every code is the curve's in 16 bits, as libtiff reads it") {
    const Image picture = all_levels(331, 257);
    const TemporaryFile file(bytes_of(picture, PictureKind::tiff));
    const Tiff tiff(TIFFOpen(file.path.c_str(), "r"), &TIFFClose);
    REQUIRE(tiff != nullptr);
    CHECK(tag<std::uint32_t>(tiff.get(), TIFFTAG_IMAGEWIDTH) == 331);
    CHECK(tag<std::uint32_t>(tiff.get(), TIFFTAG_IMAGELENGTH) == 257);
    CHECK(tag<std::uint16_t>(tiff.get(), TIFFTAG_BITSPERSAMPLE) == 16);
    CHECK(tag<std::uint16_t>(tiff.get(), TIFFTAG_SAMPLESPERPIXEL) == 3);
    CHECK(tag<std::uint16_t>(tiff.get(), TIFFTAG_PHOTOMETRIC) == PHOTOMETRIC_RGB);
    CHECK(tag<std::uint16_t>(tiff.get(), TIFFTAG_COMPRESSION) == COMPRESSION_ADOBE_DEFLATE);
    CHECK(tag<std::uint16_t>(tiff.get(), TIFFTAG_PREDICTOR) == PREDICTOR_HORIZONTAL);
    CHECK(tag<float>(tiff.get(), TIFFTAG_XRESOLUTION) == 300.0f);
    CHECK(tag<float>(tiff.get(), TIFFTAG_YRESOLUTION) == 300.0f);
    CHECK(tag<std::uint16_t>(tiff.get(), TIFFTAG_RESOLUTIONUNIT) == RESUNIT_INCH);
    CHECK(tag<char*>(tiff.get(), TIFFTAG_SOFTWARE) == notes.software);
    CHECK(tag<char*>(tiff.get(), TIFFTAG_IMAGEDESCRIPTION) == notes.title + "\n" + notes.settings);
    std::uint32_t profile_size = 0;
    const char* profile = nullptr;
    REQUIRE(TIFFGetField(tiff.get(), TIFFTAG_ICCPROFILE, &profile_size, &profile) == 1);
    CHECK(std::string(profile, profile_size) == srgb_profile());

    const auto expected = develop_srgb16(picture);
    std::vector<std::uint16_t> row(3 * 331);
    std::size_t different = 0;
    for (std::uint32_t y = 0; y < 257; ++y) {
        REQUIRE(TIFFReadScanline(tiff.get(), row.data(), y) == 1);
        for (std::size_t i = 0; i < row.size(); ++i)
            if (row[i] != expected[y * row.size() + i]) ++different;
    }
    CHECK(different == 0);
}

TEST_CASE("16-bit codes follow the curve to less than a code") {
    const Image picture = all_levels(1000, 40);
    const auto codes = develop_srgb16(picture);
    for (std::size_t i = 0; i < picture.pixels.size(); ++i)
        for (int c = 0; c < 3; ++c) {
            const double exact =
                65535.0 * srgb_encode(tone(static_cast<double>(picture.pixels[i][c])));
            CHECK(std::abs(codes[3 * i + static_cast<std::size_t>(c)] - exact) <= 0.57);
        }
}

// IEC 61966-2-1: 16-bit codes of mid-grey are 257 times the 8-bit ones.
TEST_CASE("16-bit codes of none, mid-grey and white") {
    Image picture(4, 1);
    picture.at(1, 0) = glm::vec3(1.0f);
    picture.at(2, 0) = glm::vec3(7.8f);
    picture.at(3, 0) = glm::vec3(1e9f);
    const auto codes = develop_srgb16(picture);
    CHECK(codes == std::vector<std::uint16_t>{0, 0, 0, 118 * 257, 118 * 257, 118 * 257, 65535,
                                              65535, 65535, 65535, 65535, 65535});
    picture = Image(4, 1);
    picture.at(0, 0) = glm::vec3(-1.0f);
    picture.at(1, 0) = glm::vec3(std::nanf(""));
    for (const std::uint16_t code : develop_srgb16(picture)) CHECK(code == 0);
}

TEST_CASE("the kind of a picture by its name's ending") {
    CHECK(picture_kind("a/b.png") == PictureKind::png);
    CHECK(picture_kind("B.PNG") == PictureKind::png);
    CHECK(picture_kind("b.tif") == PictureKind::tiff);
    CHECK(picture_kind("b.png.TIFF") == PictureKind::tiff);
    CHECK(picture_kind("b.hdr") == PictureKind::hdr);
    for (const char* name : {"", "b", ".png", "b.jpg", "b.tif ", "b.png/", "png"}) {
        CAPTURE(name);
        CHECK_FALSE(picture_kind(name).has_value());
    }
}
