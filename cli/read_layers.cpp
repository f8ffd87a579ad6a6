#include "cli/read_layers.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>
#include <cerrno>
#include <cstring>
#include <utility>

#include <OpenEXR/ImfChannelList.h>
#include <OpenEXR/ImfFrameBuffer.h>
#include <OpenEXR/ImfHeader.h>
#include <OpenEXR/ImfInputPart.h>
#include <OpenEXR/ImfMultiPartInputFile.h>
#include <OpenEXR/ImfPartType.h>
#include <OpenEXR/ImfStringAttribute.h>

#include "cli/exr_header_guard.h"
#include "cli/exr_streams.h"
#include "cli/exr_threads.h"
#include "cli/file_light.h"
#include "cli/film_reader.h"
#include "cli/layers_names.h"
#include "cli/unfit_layers.h"
#include "scene/wording.h"

namespace lampflight {
namespace {

constexpr int longest_side = 20'000;

std::string text_attribute(const Imf::Header& header, const char* name) {
    const auto* text = header.findTypedAttribute<Imf::StringAttribute>(name);
    if (text == nullptr)
        throw UnfitLayers{
            "it is an OpenEXR file of another making; allowed is one that 'lampflight render "
            "--layers' wrote"};
    return text->value();
}

bool keeps_every_bit(Imf::Compression compression) {
    return compression == Imf::NO_COMPRESSION || compression == Imf::RLE_COMPRESSION ||
           compression == Imf::ZIPS_COMPRESSION || compression == Imf::ZIP_COMPRESSION ||
           compression == Imf::PIZ_COMPRESSION;
}

/// A take's films while they are looked up.
struct TakeParts {
    std::vector<FilmOfTake> films;  ///< in the order of the layers
    std::vector<TrailFilm> trails;
};

}  // namespace

struct LayersFile::Contents {
    std::unique_ptr<ExrInput> input;
    std::unique_ptr<Imf::MultiPartInputFile> file;
    LayersManifest manifest;
    std::string scene_text;

    explicit Contents(std::unique_ptr<ExrInput> source) : input(std::move(source)) {
        if (auto unfit = unfit_exr_header(*input)) throw UnfitLayers{*unfit};
        Imf::Header::setMaxImageSize(longest_side, 256'000'000 / trail_columns);
        set_exr_threads();
        constexpr bool repair_offsets = false;
        file = std::make_unique<Imf::MultiPartInputFile>(*input, Imf::globalThreadCount(),
                                                         repair_offsets);
        auto read = read_manifest(text_attribute(file->header(0), layers_attribute));
        if (const auto* wrong = std::get_if<std::string>(&read)) throw UnfitLayers{*wrong};
        manifest = std::get<LayersManifest>(std::move(read));
        scene_text = text_attribute(file->header(0), scene_attribute);
    }

    /// The part of a name; it must be plain, and no larger than the file's size allows.
    int part_named(const std::string& name, const Imath::Box2i& window) const {
        for (int part = 0; part < file->parts(); ++part) {
            const Imf::Header& header = file->header(part);
            if (!header.hasName() || header.name() != name) continue;
            if (!header.hasType() || header.type() != Imf::SCANLINEIMAGE)
                throw UnfitLayers{"its part " + in_quotes(name) +
                                  " does not consist of plain rows"};
            if (header.dataWindow() != window)
                throw UnfitLayers{"its part " + in_quotes(name) +
                                  " has not the size that it should"};
            if (!keeps_every_bit(header.compression()))
                throw UnfitLayers{"its part " + in_quotes(name) + " is compressed with loss"};
            check_size(header);
            return part;
        }
        throw UnfitLayers{"it has no part " + in_quotes(name)};
    }

    /// No compression packs more than a thousand bytes into one.
    void check_size(const Imf::Header& header) const {
        const Imath::Box2i& window = header.dataWindow();
        std::uint64_t pixel_bytes = 0;
        for (auto i = header.channels().begin(); i != header.channels().end(); ++i)
            pixel_bytes += i.channel().type == Imf::HALF ? 2 : 4;
        const std::uint64_t bytes = pixel_bytes *
                                    static_cast<std::uint64_t>(window.max.x - window.min.x + 1) *
                                    static_cast<std::uint64_t>(window.max.y - window.min.y + 1);
        const std::uint64_t most_packed = header.compression() == Imf::NO_COMPRESSION ? 1 : 1100;
        if (bytes / most_packed > input->size()) throw UnfitLayers{std::string(ended_too_early)};
    }

    const Imf::Channel& channel_of(int part, const std::string& name) const {
        const Imf::Channel* channel = file->header(part).channels().findChannel(name);
        if (channel == nullptr || channel->xSampling != 1 || channel->ySampling != 1)
            throw UnfitLayers{"it has no channel " + in_quotes(name)};
        return *channel;
    }

    Imath::Box2i frame() const { return {{0, 0}, {manifest.pixels.x - 1, manifest.pixels.y - 1}}; }

    /// Has a film numbered by the reader.
    std::size_t numbered(const std::string& layer, const FilmInFile& film,
                         FilmReader& reader) const {
        const int part = part_named(film.part, frame());
        for (const char* colour : {".R", ".G", ".B"})
            if (channel_of(part, layer + colour).type == Imf::UINT)
                throw UnfitLayers{"its channel " + in_quotes(layer + colour) +
                                  " holds whole numbers"};
        return reader.add(part, layer);
    }

    TrailFilm trail(const std::string& layer, const TrailInFile& trail,
                    const glm::vec3& gain) const {
        if (trail.reached_pixels == 0)
            return {manifest.pixels.x, manifest.pixels.y, trail.parts_across};
        const auto reached = static_cast<std::size_t>(trail.reached_pixels);
        const auto columns = static_cast<int>(std::min<std::size_t>(reached, trail_columns));
        const auto rows = static_cast<int>((reached + static_cast<std::size_t>(columns) - 1) /
                                           static_cast<std::size_t>(columns));
        const int part = part_named(trail.part, {{0, 0}, {columns - 1, rows - 1}});
        const auto per_pixel = static_cast<std::size_t>(trail.parts_across * trail.parts_across);
        check_trail_channels(part, per_pixel);
        const auto count = static_cast<std::size_t>(columns) * static_cast<std::size_t>(rows);
        std::vector<std::uint32_t> x(count), y(count);
        TrailParts exposures(count * per_pixel);
        Imf::InputPart input_part(*file, part);
        input_part.setFrameBuffer(trail_buffer(columns, per_pixel, x, y, exposures.data()));
        input_part.readPixels(0, rows - 1);

        exposures.resize(reached * per_pixel);
        check_light(exposures, layer);
        for (glm::vec3& exposure : exposures) exposure *= gain;
        std::vector<std::uint32_t> places(reached);
        const auto width = static_cast<std::uint32_t>(manifest.pixels.x);
        for (std::size_t i = 0; i < reached; ++i) {
            if (x[i] >= width || y[i] >= static_cast<std::uint32_t>(manifest.pixels.y))
                throw UnfitLayers{in_quotes(layer) + " lies outside the frame"};
            places[i] = y[i] * width + x[i];
        }
        auto film =
            TrailFilm::restored(manifest.pixels, trail.parts_across, places, std::move(exposures));
        if (!film) throw UnfitLayers{in_quotes(layer) + " is in disorder"};
        return *std::move(film);
    }

    void check_trail_channels(int part, std::size_t per_pixel) const {
        for (const char* name : {"x", "y"})
            if (channel_of(part, name).type != Imf::UINT)
                throw UnfitLayers{"the places of its trails are no whole numbers"};
        for (std::size_t i = 0; i < per_pixel; ++i)
            for (const char* colour : {".R", ".G", ".B"})
                if (channel_of(part, trail_part_name(static_cast<int>(i)) + colour).type ==
                    Imf::UINT)
                    throw UnfitLayers{"the light of its trails is in whole numbers"};
    }

    TakeParts parts_of(const TakeInFile& take, const LayerGain& gain, FilmReader& reader) const {
        TakeParts parts;
        for (const LayerInFile& layer : take.layers) {
            const std::optional<glm::vec3> made = gain(take.name, layer.name);
            if (!made) continue;
            for (const FilmInFile& film : layer.films)
                parts.films.push_back(
                    {numbered(layer.name, film, reader), static_cast<float>(film.scale), *made});
            if (layer.trail) parts.trails.push_back(trail(layer.name, *layer.trail, *made));
        }
        return parts;
    }

    std::vector<TakeFilm> takes(const std::vector<const TakeInFile*>& listed,
                                const LayerGain& gain) const {
        const auto reader =
            std::make_shared<FilmReader>([this] { return input->again(); }, manifest.pixels.x);
        std::vector<TakeFilm> films;
        for (const TakeInFile* take : listed) {
            TakeParts parts = parts_of(*take, gain, *reader);
            films.push_back({take->name,
                             {},
                             FilmRows(
                                 manifest.pixels,
                                 [reader, of_take = std::move(parts.films)](int y, Row sum) {
                                     reader->add_row(of_take, y, sum);
                                 },
                                 all_trails(manifest.pixels, std::move(parts.trails)))});
        }
        return films;
    }
};

LayersFile::LayersFile(std::unique_ptr<Contents> contents) : contents_(std::move(contents)) {}
LayersFile::LayersFile(LayersFile&&) noexcept = default;
LayersFile& LayersFile::operator=(LayersFile&&) noexcept = default;
LayersFile::~LayersFile() = default;

std::variant<LayersFile, std::string> LayersFile::open(const std::filesystem::path& file) {
    const int descriptor = ::open(file.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    if (descriptor < 0) return std::string(std::strerror(errno));
    struct stat about {};
    if (::fstat(descriptor, &about) != 0 || !S_ISREG(about.st_mode)) {
        ::close(descriptor);
        return "it is not a plain file";
    }
    auto input =
        std::make_unique<ExrFileInput>(descriptor, static_cast<std::uint64_t>(about.st_size));
    return guarded([&] { return LayersFile(std::make_unique<Contents>(std::move(input))); });
}

std::variant<LayersFile, std::string> LayersFile::in_memory(std::string_view bytes) {
    return guarded([&] {
        return LayersFile(std::make_unique<Contents>(std::make_unique<ExrMemoryInput>(bytes)));
    });
}

const LayersManifest& LayersFile::manifest() const {
    return contents_->manifest;
}

const std::string& LayersFile::scene_text() const {
    return contents_->scene_text;
}

std::variant<std::vector<TakeFilm>, std::string> LayersFile::takes(
    const std::vector<const TakeInFile*>& listed, const LayerGain& gain) {
    return guarded([&] { return contents_->takes(listed, gain); });
}

bool LayersFile::is_half(const TakeInFile& take) const {
    for (const LayerInFile& layer : take.layers)
        for (const FilmInFile& film : layer.films)
            for (int part = 0; part < contents_->file->parts(); ++part) {
                const Imf::Header& header = contents_->file->header(part);
                const Imf::Channel* red = header.channels().findChannel(layer.name + ".R");
                if (header.hasName() && header.name() == film.part && red && red->type == Imf::HALF)
                    return true;
            }
    return false;
}

}  // namespace lampflight
