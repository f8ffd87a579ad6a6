#include "cli/layers/read_layers.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>
#include <algorithm>
#include <cerrno>
#include <cstring>
#include <utility>

#include <tbb/parallel_for.h>

#include "cli/layers/exr_file.h"
#include "cli/layers/exr_guard.h"
#include "cli/layers/film_reader.h"
#include "cli/layers/layers_names.h"
#include "cli/layers/trail_reader.h"
#include "cli/layers/unfit_layers.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

constexpr int longest_side = 20'000;

bool keeps_every_bit(exr_compression_t compression) {
    return compression == EXR_COMPRESSION_NONE || compression == EXR_COMPRESSION_RLE ||
           compression == EXR_COMPRESSION_ZIPS || compression == EXR_COMPRESSION_ZIP ||
           compression == EXR_COMPRESSION_PIZ;
}

std::uint64_t bytes_of(const ExrPart& part) {
    std::uint64_t of_pixel = 0;
    for (const auto& [name, channel] : part.channels)
        of_pixel += channel.type == EXR_PIXEL_HALF ? 2 : 4;
    return of_pixel * static_cast<std::uint64_t>(part.width()) *
           static_cast<std::uint64_t>(part.height());
}

/// What a take is made of, looked up in the file.
struct TakeParts {
    std::vector<FilmOfTake> films;  ///< in the order of the layers
    std::vector<TrailToRead> trails;
};

std::unique_ptr<ExrSource> guarded_header(std::unique_ptr<ExrSource> source) {
    if (auto unfit = unfit_exr_header(*source)) throw UnfitLayers{*unfit};
    return source;
}

}  // namespace

struct LayersFile::Contents {
    ExrFile file;
    LayersManifest manifest;
    std::string scene_text;

    explicit Contents(std::unique_ptr<ExrSource> source)
        : file(guarded_header(std::move(source)), longest_side, 256'000'000 / trail_columns) {
        auto read = read_manifest(text(layers_attribute));
        if (const auto* wrong = std::get_if<std::string>(&read)) throw UnfitLayers{*wrong};
        manifest = std::get<LayersManifest>(std::move(read));
        scene_text = text(scene_attribute);
    }

    std::string text(const char* attribute) const {
        auto text = file.text(0, attribute);
        if (!text)
            throw UnfitLayers{
                "it is an OpenEXR file of another making; allowed is one that 'lampflight render "
                "--layers' wrote"};
        return *std::move(text);
    }

    /// The part of a name, in plain rows from the left of a picture of some size, or all of them.
    int part_named(const std::string& name, const glm::ivec2& size, bool all_rows) const {
        const auto named = std::ranges::find(file.parts(), name, &ExrPart::name);
        if (named == file.parts().end()) throw UnfitLayers{"it has no part " + in_quotes(name)};
        const ExrPart& part = *named;
        if (part.storage != EXR_STORAGE_SCANLINE)
            throw UnfitLayers{"its part " + in_quotes(name) + " does not consist of plain rows"};
        const exr_attr_box2i_t& window = part.window;
        if (window.min.x != 0 || part.width() != size.x || window.min.y < 0 ||
            window.max.y >= size.y || (all_rows && part.height() != size.y))
            throw UnfitLayers{"its part " + in_quotes(name) + " has not the size that it should"};
        if (!keeps_every_bit(part.compression))
            throw UnfitLayers{"its part " + in_quotes(name) + " is compressed with loss"};
        return static_cast<int>(named - file.parts().begin());
    }

    /// No compression packs more than a thousand bytes into one.
    void check_size(const std::vector<int>& parts) const {
        std::uint64_t fewest_bytes = 0;
        for (const int number : parts) {
            const ExrPart& part = file.parts()[static_cast<std::size_t>(number)];
            const std::uint64_t most_packed = part.compression == EXR_COMPRESSION_NONE ? 1 : 1100;
            fewest_bytes += bytes_of(part) / most_packed;
        }
        if (fewest_bytes > file.bytes()) throw UnfitLayers{std::string(ended_too_early)};
    }

    bool is_whole_numbers(int part, const std::string& name) const {
        const auto& channels = file.parts()[static_cast<std::size_t>(part)].channels;
        const auto channel = channels.find(name);
        if (channel == channels.end() || !channel->second.for_every_pixel)
            throw UnfitLayers{"it has no channel " + in_quotes(name)};
        return channel->second.type == EXR_PIXEL_UINT;
    }

    int film_part(const std::string& layer, const FilmInFile& film) const {
        const int part = part_named(film.part, manifest.pixels, false);
        for (const char* colour : {".R", ".G", ".B"})
            if (is_whole_numbers(part, layer + colour))
                throw UnfitLayers{"its channel " + in_quotes(layer + colour) +
                                  " holds whole numbers"};
        return part;
    }

    int trail_part(const TrailInFile& trail) const {
        const int part = part_named(trail.part, trail_size(trail.reached_pixels), true);
        for (const char* name : {"x", "y"})
            if (!is_whole_numbers(part, name))
                throw UnfitLayers{"the places of its trails are no whole numbers"};
        for (int i = 0; i < trail.parts_across * trail.parts_across; ++i)
            for (const char* colour : {".R", ".G", ".B"})
                if (is_whole_numbers(part, trail_part_name(i) + colour))
                    throw UnfitLayers{"the light of its trails is in whole numbers"};
        return part;
    }

    TakeParts parts_of(const TakeInFile& take, const LayerGain& gain, FilmReader& reader,
                       std::vector<int>& used) const {
        TakeParts parts;
        for (const LayerInFile& layer : take.layers) {
            const std::optional<glm::vec3> made = gain(take.name, layer.id);
            if (!made) continue;
            for (const FilmInFile& film : layer.films) {
                used.push_back(film_part(layer.id.text(), film));
                parts.films.push_back({reader.add(used.back(), layer.id.text()),
                                       static_cast<float>(film.scale), *made});
            }
            if (!layer.trail || layer.trail->reached_pixels == 0) continue;
            used.push_back(trail_part(*layer.trail));
            parts.trails.push_back({used.back(), layer.id.text(), *layer.trail, *made});
            if (layer.trail->parts_across != parts.trails.front().trail.parts_across)
                throw UnfitLayers{"its trails are not cut alike"};
        }
        return parts;
    }

    FilmRows rows_of(TakeParts parts, const std::shared_ptr<const FilmReader>& reader) const {
        std::vector<PlacedParts> trails;
        for (const TrailToRead& trail : parts.trails)
            trails.push_back(read_trail(file, trail, manifest.pixels));
        return {manifest.pixels,
                [reader, films = std::move(parts.films)](int y, Row sum) {
                    reader->sum_row(films, y, sum);
                },
                TrailPixels(manifest.pixels.y, std::move(trails))};
    }

    std::vector<TakeFilm> takes(const std::vector<const TakeInFile*>& listed,
                                const LayerGain& gain) const {
        const auto reader = std::make_shared<FilmReader>(file);
        std::vector<TakeParts> parts;
        std::vector<int> used;
        for (const TakeInFile* take : listed) parts.push_back(parts_of(*take, gain, *reader, used));
        std::ranges::sort(used);
        used.erase(std::unique(used.begin(), used.end()), used.end());
        check_size(used);
        std::vector<std::optional<FilmRows>> rows(listed.size());
        tbb::parallel_for(std::size_t{0}, listed.size(), [&](std::size_t i) {
            rows[i].emplace(rows_of(std::move(parts[i]), reader));
        });
        std::vector<TakeFilm> films;
        for (std::size_t i = 0; i < listed.size(); ++i)
            films.push_back({listed[i]->name, {}, *std::move(rows[i])});
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
    auto source =
        std::make_unique<ExrFileSource>(descriptor, static_cast<std::uint64_t>(about.st_size));
    return guarded([&] { return LayersFile(std::make_unique<Contents>(std::move(source))); });
}

std::variant<LayersFile, std::string> LayersFile::in_memory(std::string_view bytes) {
    return guarded([&] {
        return LayersFile(std::make_unique<Contents>(std::make_unique<ExrMemorySource>(bytes)));
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
            for (const ExrPart& part : contents_->file.parts()) {
                const auto red = part.channels.find(layer.id.text() + ".R");
                if (part.name == film.part && red != part.channels.end() &&
                    red->second.type == EXR_PIXEL_HALF)
                    return true;
            }
    return false;
}

}  // namespace lampflight
