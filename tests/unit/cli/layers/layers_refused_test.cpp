// Files of layers that are refused, and in what words.
#include <algorithm>
#include <array>
#include <limits>
#include <random>

#include <OpenEXR/ImfChannelList.h>
#include <OpenEXR/ImfFrameBuffer.h>
#include <OpenEXR/ImfHeader.h>
#include <OpenEXR/ImfOutputFile.h>
#include <OpenEXR/ImfStdIO.h>

#include "tests/unit/cli/layers/layers_files.h"

using namespace lampflight;

namespace {

/// What is said of a file, whether its header or its light is at fault; empty when all is well.
std::string said_of(const std::string& bytes) {
    auto file = LayersFile::in_memory(bytes);
    if (const auto* wrong = std::get_if<std::string>(&file)) return *wrong;
    return said_of_light(std::get<LayersFile>(file));
}

}  // namespace

TEST_CASE("what is no file of layers is refused in a few words") {
    const std::string bytes = bytes_of(SampleType::half);
    CHECK(said_of(bytes).empty());
    CHECK(said_of("") == "it is no OpenEXR file");
    CHECK(said_of("\x89PNG\r\n\x1a\n and more") == "it is no OpenEXR file");
    CHECK(has(said_of(bytes.substr(0, 500)), "its header"));
    CHECK(!said_of(bytes.substr(0, bytes.size() / 2)).empty());
    CHECK(!said_of(bytes.substr(0, bytes.size() - 1000)).empty());

    Imf::StdOSStream plain;
    {
        Imf::Header header(4, 4);
        header.channels().insert("R", Imf::Channel(Imf::HALF));
        std::array<half, 16> pixels{};
        Imf::FrameBuffer buffer;
        buffer.insert("R", Imf::Slice(Imf::HALF, reinterpret_cast<char*>(pixels.data()), 2, 8));
        Imf::OutputFile file(plain, header);
        file.setFrameBuffer(buffer);
        file.writePixels(4);
    }
    CHECK(has(said_of(plain.str()), "of another making"));
}

TEST_CASE("a header that asks for more than there is, is refused before it is read") {
    std::string bytes = bytes_of(SampleType::half);
    // The size of the attribute with the scene (behind its name and type): two gigabytes.
    const std::size_t scene = bytes.find("lampflight.scene");
    REQUIRE(scene != std::string::npos);
    std::string huge = bytes;
    huge.replace(scene + sizeof "lampflight.scene" + sizeof "string", 4, "\xff\xff\xff\x7f");
    CHECK(said_of(huge) == "its header is damaged");

    // The library reads a float's four bytes whatever its size is said to be, and what follows then
    // stands for anything.
    std::string shifted = bytes;
    const std::size_t time = bytes.find("expTime");
    REQUIRE(time != std::string::npos);
    shifted[time + sizeof "expTime" + sizeof "float"] = 12;
    CHECK(said_of(shifted) == "its header is damaged");

    // A data window of a million by a million pixels: the four numbers of a box2i.
    const std::size_t window = bytes.find("dataWindow");
    REQUIRE(window != std::string::npos);
    std::string giant = bytes;
    giant.replace(window + sizeof "dataWindow" + sizeof "box2i" + 4 + 8, 8,
                  std::string("\x40\x42\x0f\0\x40\x42\x0f\0", 8));
    CHECK(!said_of(giant).empty());
}

TEST_CASE("light that is none is refused") {
    Exposed broken = exposed_once();
    const auto said_with = [&](float value) {
        ExposedTake take = exposed_once().takes.back();
        Image film(48, 32);
        film.at(7, 9).g = value;
        take.layers = {
            {*layer_id_of("low.surface"), {{std::make_shared<const Image>(film), 1.0f}}}};
        const std::vector<ExposedTake> takes{take};
        const TemporaryFile file;
        const LayersSource source{broken.shoot, takes, "", "broken.toml", {}, {}};
        REQUIRE(write_layers(file.path(), source, SampleType::full, {}));
        auto opened_file = LayersFile::open(file.path());
        REQUIRE(std::holds_alternative<LayersFile>(opened_file));
        return said_of_light(std::get<LayersFile>(opened_file));
    };
    CHECK(said_with(0.5f).empty());
    for (const float value :
         {std::numeric_limits<float>::quiet_NaN(), std::numeric_limits<float>::infinity(), -1.0f})
        CHECK(said_with(value) == "\"low.surface\" holds what is no light");
}

TEST_CASE("a half float that is no number is refused, too") {
    ExposedTake take = exposed_once().takes.back();
    Image film(48, 32);
    for (int x = 7; x < 11; ++x) film.at(x, 9).g = 1.0f / 3.0f;
    take.layers = {{*layer_id_of("low.surface"), {{std::make_shared<const Image>(film), 1.0f}}}};
    const std::vector<ExposedTake> takes{take};
    const std::string sound =
        bytes_of({exposed_once().shoot, takes, "", "half.toml", {}, {}}, SampleType::half);
    CHECK(said_of(sound).empty());
    // Four times a third, low byte first (IEEE 754-2008, binary16).
    const std::size_t place = sound.find("\x55\x35\x55\x35\x55\x35\x55\x35");
    REQUIRE(place != std::string::npos);
    for (const char* no_number : {"\x01\x7e", "\x01\xfe"}) {
        std::string broken = sound;
        broken.replace(place, 2, no_number, 2);
        CHECK(said_of(broken) == "\"low.surface\" holds what is no light");
    }
    std::string infinite = sound;
    infinite.replace(place, 2, "\0\x7c", 2);
    CHECK(said_of(infinite) == "\"low.surface\" holds what is no light");
}

TEST_CASE("trails of one take that are cut differently are refused") {
    ExposedTake take = exposed_once().takes.front();
    std::erase_if(take.layers, [](const Layer& layer) { return !layer.trail.has_value(); });
    std::erase_if(take.layers, [](const Layer& layer) { return layer.trail->pixels().empty(); });
    REQUIRE(!take.layers.empty());
    take.layers.resize(1);
    TrailFilm other(48, 32, take.layers[0].trail->side() + 1);
    other.add_disc({20.0, 10.0}, 1.0, glm::vec3(1.0f));
    take.layers.push_back({*layer_id_of("other.trail"), {}, other});
    const std::vector<ExposedTake> takes{take};
    const std::string bytes =
        bytes_of({exposed_once().shoot, takes, "", "cuts.toml", {}, {}}, SampleType::full);
    CHECK(said_of(bytes) == "its trails are not cut alike");
}

TEST_CASE("a row that says it is shorter than its pixels is refused") {
    ExposedTake take = exposed_once().takes.back();
    Image film(48, 32);
    for (glm::vec3& pixel : film.pixels) pixel = glm::vec3(0.25f);
    take.layers = {{*layer_id_of("low.surface"), {{std::make_shared<const Image>(film), 1.0f}}}};
    const std::vector<ExposedTake> takes{take};
    std::string bytes =
        bytes_of({exposed_once().shoot, takes, "", "short.toml", {}, {}}, SampleType::full);
    CHECK(said_of(bytes).empty());
    // In front of its pixels a row has its number and its size (OpenEXR File Layout); all floats
    // of this one are the same.
    const std::string row(std::string("\x07\0\0\0\x40\x02\0\0", 8) +
                          std::string("\0\0\x80\x3e", 4));
    const std::size_t place = bytes.find(row);
    REQUIRE(place != std::string::npos);
    bytes[place + 4] = 0x3c;
    CHECK(said_of(bytes) == "it is damaged (a row is too short)");
}

TEST_CASE("files damaged anywhere end in light or in a few words") {
    const std::string sound = bytes_of(SampleType::half);
    std::minstd_rand random(1);
    const auto below = [&](std::size_t limit) {
        return static_cast<std::size_t>(random()) % limit;
    };
    const std::size_t header_end = sound.find("part00.B");
    REQUIRE(header_end != std::string::npos);
    int refused = 0;
    constexpr int files = 400;
    for (int i = 0; i < files; ++i) {
        std::string bytes = sound;
        const int changes = 1 + static_cast<int>(below(4));
        for (int k = 0; k < changes; ++k)
            bytes[below(i % 4 == 0 ? bytes.size() : header_end)] = static_cast<char>(below(256));
        if (i % 7 == 0) bytes.resize(below(bytes.size()));
        const std::string said = said_of(bytes);
        if (!said.empty()) ++refused;
        CHECK(said.size() < 400);
    }
    CHECK(refused > files / 4);
    CHECK(refused < files);
}
