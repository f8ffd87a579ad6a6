// Files of layers: what comes back, what other programs find, and what is refused.
#include <doctest/doctest.h>

#include <unistd.h>
#include <algorithm>
#include <array>
#include <deque>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>

#include <OpenEXR/ImfArray.h>
#include <OpenEXR/ImfChannelList.h>
#include <OpenEXR/ImfChromaticities.h>
#include <OpenEXR/ImfFrameBuffer.h>
#include <OpenEXR/ImfHeader.h>
#include <OpenEXR/ImfInputPart.h>
#include <OpenEXR/ImfMultiPartInputFile.h>
#include <OpenEXR/ImfMultiPartOutputFile.h>
#include <OpenEXR/ImfOutputFile.h>
#include <OpenEXR/ImfOutputPart.h>
#include <OpenEXR/ImfStandardAttributes.h>
#include <OpenEXR/ImfStringAttribute.h>
#include <OpenEXR/ImfTiledOutputFile.h>

#include "cli/exr_streams.h"
#include "cli/read_layers.h"
#include "cli/unfit_layers.h"
#include "cli/write_layers.h"
#include "renderer/photograph.h"
#include "tests/film.h"
#include "tests/icosphere.h"

using namespace lampflight;
namespace fs = std::filesystem;

namespace {

/// A file name of its own, removed at the end.
class TemporaryFile {
public:
    TemporaryFile()
        : path_(fs::temp_directory_path() / ("lampflight-layers-" + std::to_string(::getpid()))) {}
    ~TemporaryFile() { fs::remove(path_); }
    TemporaryFile(const TemporaryFile&) = delete;
    TemporaryFile& operator=(const TemporaryFile&) = delete;
    const fs::path& path() const { return path_; }

private:
    fs::path path_;
};

/// Three takes, of which two share the light of the sky, with a flown lamp, a standing lamp and a
/// ball that stays for a part of one take.
Shoot three_takes() {
    Shoot shoot = dark_shoot({48, 32});
    shoot.title = "Balls and lamps";
    shoot.sky.horizontal_lx = 0.02;
    shoot.camera.sensor_pixels_across = 3.0;
    shoot.camera.position_m = {0.0, -9.0, 1.5};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 2.0);
    shoot.camera.shutter_s = 4.0;
    stand(shoot, bare_lamp("low", 3.0), {1.0, 1.0, 0.6});
    Flight flight;
    flight.height_m = 4.0;
    flight.radius_m = 2.0;
    flight.lap_s = 4.0;
    fly(shoot, bare_lamp("high", 40.0), flight);
    add_subject(shoot, "ball", icosphere({0.0, 0.0, 0.8}, 0.8, 2, false));
    add_subject(shoot, "guest", icosphere({2.0, 0.0, 0.5}, 0.5, 2, false));
    shoot.subjects.back().present_s = TimeWindows{{0.0, 1.5}};
    Take second = shoot.takes.front();
    second.name = "second";
    second.shutter_s = 2.5;
    Take third = shoot.takes.front();
    third.name = "third";
    third.subjects = {"ball"};
    third.flights.clear();
    shoot.takes.push_back(second);
    shoot.takes.push_back(third);
    shoot.photograph.takes = {"take", "second", "third"};
    shoot.photograph.blend = Blend::add;
    return shoot;
}

struct Exposed {
    Shoot shoot = three_takes();
    std::vector<ExposedTake> takes = *expose(shoot, {Quality::draft, 1});
};

const Exposed& exposed_once() {
    static const Exposed once;
    return once;
}

std::string bytes_of(SampleType type) {
    const Exposed& exposed = exposed_once();
    const TemporaryFile file;
    const LayersSource source{
        exposed.shoot, exposed.takes,           "title = \"Balls and lamps\"\n",
        "balls.toml",  {{"camera.iso", "800"}}, {Quality::draft, 1}};
    REQUIRE(write_layers(file.path(), source, type, {}).written == Written::whole);
    std::ifstream stream(file.path(), std::ios::binary);
    std::ostringstream text;
    text << stream.rdbuf();
    return text.str();
}

std::optional<glm::vec3> as_it_is(const std::string&, const std::string&) {
    return glm::vec3(1.0f);
}

LayersFile opened(const std::string& bytes) {
    auto file = LayersFile::in_memory(bytes);
    if (const auto* wrong = std::get_if<std::string>(&file)) FAIL(*wrong);
    return std::get<LayersFile>(std::move(file));
}

/// All takes of a file, or what is said of them.
std::variant<std::vector<TakeFilm>, std::string> read_all(LayersFile& file,
                                                          const LayerGain& gain = as_it_is) {
    std::vector<const TakeInFile*> listed;
    for (const TakeInFile& take : file.manifest().takes) listed.push_back(&take);
    return file.takes(listed, gain);
}

std::vector<TakeFilm> takes_of(LayersFile& file, const LayerGain& gain = as_it_is) {
    auto read = read_all(file, gain);
    if (const auto* wrong = std::get_if<std::string>(&read)) FAIL(*wrong);
    auto takes = std::get<std::vector<TakeFilm>>(std::move(read));
    for (TakeFilm& take : takes)
        for (const ExposedTake& before : exposed_once().takes)
            if (before.name == take.name) take.settings = before.settings;
    return takes;
}

/// A take's film before the lens spreads it.
Image film_of(const TakeFilm& take) {
    Image film(take.rows.width(), take.rows.height());
    for (int y = 0; y < film.height; ++y) take.rows.read(y, film.row(y));
    return film;
}

/// What is said of takes and all their light; empty when all is well.
std::string said_of_light(LayersFile& file) {
    const auto takes = read_all(file);
    if (const auto* wrong = std::get_if<std::string>(&takes)) return *wrong;
    try {
        for (const TakeFilm& take : std::get<std::vector<TakeFilm>>(takes)) film_of(take);
    } catch (const UnfitLayers& unfit) {
        return unfit.what;
    }
    return "";
}

/// What is said of a file, whether its header or its light is at fault; empty when all is well.
std::string said_of(std::string_view bytes) {
    auto file = LayersFile::in_memory(bytes);
    if (const auto* wrong = std::get_if<std::string>(&file)) return *wrong;
    return said_of_light(std::get<LayersFile>(file));
}

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("layers in full come back as the same photograph, bit for bit") {
    const Exposed& exposed = exposed_once();
    const std::string bytes = bytes_of(SampleType::full);
    LayersFile file = opened(bytes);
    const std::vector<TakeFilm> takes = takes_of(file);
    REQUIRE(takes.size() == 3);
    const Image before = photograph(exposed.shoot, exposed.takes);
    const Image after = photograph(exposed.shoot, takes);
    CHECK(before.pixels == after.pixels);
    CHECK(luminance_of(before.at(24, 24)) > 0.0);
}

TEST_CASE("layers in half floats keep each take's film to a part in a thousand") {
    const Exposed& exposed = exposed_once();
    const std::string bytes = bytes_of(SampleType::half);
    LayersFile file = opened(bytes);
    CHECK(file.is_half(file.manifest().takes.front()));
    const std::vector<TakeFilm> takes = takes_of(file);
    for (std::size_t i = 0; i < takes.size(); ++i) {
        const Image before = film_lxs(exposed.shoot.camera, exposed.takes[i]);
        const Image after = film_lxs(exposed.shoot.camera, takes[i]);
        for (std::size_t k = 0; k < before.pixels.size(); ++k)
            // A half has 11 bits (IEEE 754-2008, binary16) and below 6.1e-5 steps of 6e-8.
            CHECK(std::abs(luminance_of(after.pixels[k]) - luminance_of(before.pixels[k])) <=
                  1e-3 * luminance_of(before.pixels[k]) + 3e-7);
    }
    CHECK(bytes.size() < bytes_of(SampleType::full).size());
}

TEST_CASE("the file says what was rendered and how") {
    const std::string bytes = bytes_of(SampleType::half);
    LayersFile file = opened(bytes);
    CHECK(file.scene_text() == "title = \"Balls and lamps\"\n");
    const LayersManifest& manifest = file.manifest();
    CHECK(manifest.scene_name == "balls.toml");
    CHECK(manifest.pixels == glm::ivec2(48, 32));
    CHECK(manifest.settings.quality == Quality::draft);
    REQUIRE(manifest.changes.size() == 1);
    CHECK(manifest.changes[0].key == "camera.iso");
    CHECK(manifest.changes[0].value == "800");
    REQUIRE(manifest.takes.size() == 3);
    CHECK(manifest.takes[1].name == "second");
}

TEST_CASE("another program finds plain parts whose layers add up to a take's film") {
    const Exposed& exposed = exposed_once();
    const std::string bytes = bytes_of(SampleType::full);
    ExrMemoryInput stream(bytes);
    Imf::MultiPartInputFile file(stream);
    std::vector<std::string> names;
    for (int i = 0; i < file.parts(); ++i) {
        const Imf::Header& header = file.header(i);
        names.push_back(header.name());
        CHECK(header.type() == "scanlineimage");
        CHECK(Imf::chromaticities(header) == Imf::Chromaticities());
        CHECK(header.typedAttribute<Imf::StringAttribute>("title").value() == "Balls and lamps");
    }
    CHECK(std::ranges::count(names, "take") == 1);
    CHECK(std::ranges::count(names, "third") == 1);
    // Once the guest of the first two has gone, all three see the same sky.
    CHECK(std::ranges::count(names, "take + second") == 1);
    CHECK(std::ranges::count(names, "take + second + third") == 1);
    CHECK(std::ranges::count(names, "take: high.trail") == 1);

    // Of the first take every film stands in the file at a scale of 1.
    const ExposedTake& take = exposed.takes.front();
    Image sum(48, 32);
    for (int i = 0; i < file.parts(); ++i) {
        const std::string name = file.header(i).name();
        if (!name.starts_with("take") || has(name, "by sensor pixel")) continue;
        const Imath::Box2i window = file.header(i).dataWindow();
        Imf::InputPart part(file, i);
        std::vector<std::string> layers;
        for (auto c = part.header().channels().begin(); c != part.header().channels().end(); ++c)
            if (std::string(c.name()).ends_with(".R"))
                layers.push_back(std::string(c.name()).substr(0, std::string(c.name()).size() - 2));
        for (const std::string& layer : layers) {
            Image film(48, 32);
            Imf::FrameBuffer buffer;
            for (std::size_t c = 0; c < 3; ++c)
                buffer.insert(
                    layer + '.' + "RGB"[c],
                    Imf::Slice(Imf::FLOAT, reinterpret_cast<char*>(&film.pixels[0][0] + c), 12,
                               12 * 48));
            part.setFrameBuffer(buffer);
            part.readPixels(window.min.y, window.max.y);
            for (std::size_t k = 0; k < sum.pixels.size(); ++k) sum.pixels[k] += film.pixels[k];
        }
    }
    Image expected(48, 32);
    for (const Layer& layer : take.layers) {
        const Image film = picture_lxs(layer, {48, 32});
        for (std::size_t k = 0; k < film.pixels.size(); ++k) expected.pixels[k] += film.pixels[k];
    }
    for (std::size_t k = 0; k < sum.pixels.size(); ++k)
        CHECK(luminance_of(sum.pixels[k]) ==
              doctest::Approx(luminance_of(expected.pixels[k])).epsilon(1e-5));
    const auto& first = file.header(0);
    CHECK(Imf::expTime(first) == 4.0f);
    CHECK(Imf::aperture(first) == static_cast<float>(exposed.shoot.camera.f_number));
    CHECK(Imf::isoSpeed(first) == static_cast<float>(exposed.shoot.camera.iso));
}

TEST_CASE("a gain of a layer is that of its light, and a layer may be left out") {
    const std::string bytes = bytes_of(SampleType::full);
    LayersFile file = opened(bytes);
    const auto only = [&](const std::string& wanted, const glm::vec3& gain) {
        const std::vector<TakeFilm> takes = takes_of(
            file, [&](const std::string&, const std::string& layer) -> std::optional<glm::vec3> {
                if (layer.starts_with(wanted)) return gain;
                return std::nullopt;
            });
        return film_of(takes.front());
    };
    const Image plain = only("high", glm::vec3(1.0f));
    const Image golden = only("high", {2.0f, 1.0f, 0.25f});
    CHECK(sum_of(plain) > 0.0);
    for (std::size_t k = 0; k < plain.pixels.size(); ++k) {
        CHECK(golden.pixels[k].r == doctest::Approx(2.0f * plain.pixels[k].r));
        CHECK(golden.pixels[k].b == doctest::Approx(0.25f * plain.pixels[k].b));
    }
    CHECK(sum_of(only("nobody", glm::vec3(1.0f))) == 0.0);
}

// Another program may have packed the parts, as long as it has lost nothing.
TEST_CASE("layers that were packed come back just the same") {
    const std::string bytes = bytes_of(SampleType::half);
    ExrMemoryInput source(bytes);
    Imf::MultiPartInputFile from(source);
    std::vector<Imf::Header> headers;
    for (int i = 0; i < from.parts(); ++i) {
        headers.push_back(from.header(i));
        headers.back().compression() = Imf::ZIP_COMPRESSION;
    }
    ExrMemoryOutput packed;
    {
        Imf::MultiPartOutputFile to(packed, headers.data(), from.parts());
        for (int i = 0; i < from.parts(); ++i) {
            const Imath::Box2i window = headers[static_cast<std::size_t>(i)].dataWindow();
            const auto width = static_cast<std::size_t>(window.max.x - window.min.x + 1);
            const auto height = static_cast<std::size_t>(window.max.y - window.min.y + 1);
            Imf::FrameBuffer buffer;
            std::deque<std::vector<std::uint32_t>> planes;  // any sample fits
            const Imf::ChannelList& channels = headers[static_cast<std::size_t>(i)].channels();
            for (auto c = channels.begin(); c != channels.end(); ++c) {
                planes.emplace_back(width * height);
                auto* first = reinterpret_cast<char*>(planes.back().data()) -
                              4 * (window.min.x + window.min.y * static_cast<int>(width));
                buffer.insert(c.name(), Imf::Slice(c.channel().type, first, 4, 4 * width));
            }
            Imf::InputPart input(from, i);
            input.setFrameBuffer(buffer);
            input.readPixels(window.min.y, window.max.y);
            Imf::OutputPart output(to, i);
            output.setFrameBuffer(buffer);
            output.writePixels(static_cast<int>(height));
        }
    }
    LayersFile plain_file = opened(bytes);
    LayersFile packed_file = opened(packed.bytes());
    const auto plain = takes_of(plain_file);
    const auto unpacked = takes_of(packed_file);
    REQUIRE(plain.size() == unpacked.size());
    for (std::size_t i = 0; i < plain.size(); ++i)
        CHECK(film_of(plain[i]).pixels == film_of(unpacked[i]).pixels);
}

TEST_CASE("what is no file of layers is refused in a few words") {
    const std::string bytes = bytes_of(SampleType::half);
    CHECK(said_of(bytes).empty());
    CHECK(said_of("") == "it is no OpenEXR file");
    CHECK(said_of("\x89PNG\r\n\x1a\n and more") == "it is no OpenEXR file");
    CHECK(has(said_of(bytes.substr(0, 500)), "its header"));
    CHECK(!said_of(bytes.substr(0, bytes.size() / 2)).empty());
    CHECK(!said_of(bytes.substr(0, bytes.size() - 1000)).empty());

    ExrMemoryOutput plain;
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
    CHECK(has(said_of(plain.bytes()), "of another making"));
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
        take.layers = {{"low.surface", {{std::make_shared<const Image>(film), 1.0f}}}};
        const std::vector<ExposedTake> takes{take};
        const TemporaryFile file;
        const LayersSource source{broken.shoot, takes, "", "broken.toml", {}, {}};
        REQUIRE(write_layers(file.path(), source, SampleType::full, {}).written == Written::whole);
        auto opened_file = LayersFile::open(file.path());
        REQUIRE(std::holds_alternative<LayersFile>(opened_file));
        return said_of_light(std::get<LayersFile>(opened_file));
    };
    CHECK(said_with(0.5f).empty());
    for (const float value :
         {std::numeric_limits<float>::quiet_NaN(), std::numeric_limits<float>::infinity(), -1.0f})
        CHECK(said_with(value) == "\"low.surface\" holds what is no light");
}

TEST_CASE("a layer beyond half floats is kept in full") {
    ExposedTake take = exposed_once().takes.back();
    Image film(48, 32);
    film.at(7, 9) = glm::vec3(70000.0f);
    take.layers = {{"low.surface", {{std::make_shared<const Image>(film), 1.0f}}}};
    const std::vector<ExposedTake> takes{take};
    const TemporaryFile file;
    REQUIRE(write_layers(file.path(), {exposed_once().shoot, takes, "", "bright.toml", {}, {}},
                         SampleType::half, {})
                .written == Written::whole);
    auto opened_file = LayersFile::open(file.path());
    auto& layers = std::get<LayersFile>(opened_file);
    CHECK_FALSE(layers.is_half(layers.manifest().takes.front()));
    CHECK(film_of(takes_of(layers).front()).at(7, 9).g == 70000.0f);
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
