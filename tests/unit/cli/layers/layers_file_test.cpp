// Files of layers: what comes back, and what other programs find.
#include <algorithm>
#include <array>
#include <deque>

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
#include <OpenEXR/ImfStdIO.h>
#include <OpenEXR/ImfStringAttribute.h>
#include <OpenEXR/ImfTiledOutputFile.h>

#include "tests/unit/cli/layers/layers_files.h"

using namespace lampflight;

TEST_CASE("layers in full come back as the same photograph, bit for bit") {
    const Exposed& exposed = exposed_once();
    const std::string bytes = bytes_of(SampleType::full);
    LayersFile file = opened(bytes);
    const std::vector<ExposedTake> takes = takes_of(file);
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
    const std::vector<ExposedTake> takes = takes_of(file);
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
    Imf::StdISStream stream;
    stream.str(bytes);
    Imf::MultiPartInputFile file(stream);
    std::vector<std::string> names;
    for (int i = 0; i < file.parts(); ++i) {
        const Imf::Header& header = file.header(i);
        names.push_back(header.name());
        CHECK(header.type() == "scanlineimage");
        CHECK(Imf::chromaticities(header) == Imf::Chromaticities());
        CHECK(header.typedAttribute<Imf::StringAttribute>("title").value() == "Balls and lamps");
    }
    CHECK(std::ranges::count(names, "take: low.surface") == 1);
    CHECK(std::ranges::count(names, "third: low.surface") == 1);
    // Once the guest of the first two has gone, all three see the same sky.
    CHECK(std::ranges::count(names, "take + second: sky.surface") == 1);
    CHECK(std::ranges::count(names, "take + second + third: sky.surface") == 1);
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

TEST_CASE("a film's part ends with its light, and the film comes back the same") {
    ExposedTake take = exposed_once().takes.back();
    Image film(48, 32);
    for (int y = 5; y < 21; ++y) film.at(y, y).g = 0.5f + 0.01f * static_cast<float>(y);
    const Image dark(48, 32);
    take.layers = {{*layer_id_of("low.surface"), {{std::make_shared<const Image>(film), 1.0f}}},
                   {*layer_id_of("sky.view"), {{std::make_shared<const Image>(dark), 1.0f}}}};
    const std::vector<ExposedTake> takes{take};
    for (const SampleType type : {SampleType::full, SampleType::half}) {
        const std::string bytes =
            bytes_of({exposed_once().shoot, takes, "", "rows.toml", {}, {}}, type);
        Imf::StdISStream stream;
        stream.str(bytes);
        Imf::MultiPartInputFile parts(stream);
        REQUIRE(parts.parts() == 1);
        CHECK(parts.header(0).dataWindow() == Imath::Box2i({0, 5}, {47, 20}));
        CHECK(parts.header(0).displayWindow() == Imath::Box2i({0, 0}, {47, 31}));
        LayersFile file = opened(bytes);
        const Image back = film_of(takes_of(file).front());
        for (int y = 0; y < 32; ++y)
            for (int x = 0; x < 48; ++x) {
                const float exact = film.at(x, y).g;
                CHECK(back.at(x, y).g ==
                      (type == SampleType::full ? exact : static_cast<float>(half(exact))));
                CHECK(back.at(x, y).r == 0.0f);
            }
    }
}

TEST_CASE("a gain of a layer is that of its light, and a layer may be left out") {
    const std::string bytes = bytes_of(SampleType::full);
    LayersFile file = opened(bytes);
    const auto only = [&](const std::string& wanted, const glm::vec3& gain) {
        const std::vector<ExposedTake> takes = takes_of(
            file, [&](const std::string&, const LayerId& layer) -> std::optional<glm::vec3> {
                if (layer.lamp == wanted) return gain;
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
    Imf::StdISStream source;
    source.str(bytes);
    Imf::MultiPartInputFile from(source);
    std::vector<Imf::Header> headers;
    for (int i = 0; i < from.parts(); ++i) {
        headers.push_back(from.header(i));
        headers.back().compression() = Imf::ZIP_COMPRESSION;
    }
    Imf::StdOSStream packed;
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
    const std::string packed_bytes = packed.str();
    LayersFile packed_file = opened(packed_bytes);
    const auto plain = takes_of(plain_file);
    const auto unpacked = takes_of(packed_file);
    REQUIRE(plain.size() == unpacked.size());
    for (std::size_t i = 0; i < plain.size(); ++i)
        CHECK(film_of(plain[i]).pixels == film_of(unpacked[i]).pixels);
}

TEST_CASE("a layer beyond half floats is kept in full") {
    ExposedTake take = exposed_once().takes.back();
    Image film(48, 32);
    film.at(7, 9) = glm::vec3(70000.0f);
    take.layers = {{*layer_id_of("low.surface"), {{std::make_shared<const Image>(film), 1.0f}}}};
    const std::vector<ExposedTake> takes{take};
    const TemporaryFile file;
    REQUIRE(write_layers(file.path(), {exposed_once().shoot, takes, "", "bright.toml", {}, {}},
                         SampleType::half, {}));
    auto opened_file = LayersFile::open(file.path());
    auto& layers = std::get<LayersFile>(opened_file);
    CHECK_FALSE(layers.is_half(layers.manifest().takes.front()));
    CHECK(film_of(takes_of(layers).front()).at(7, 9).g == 70000.0f);
}
