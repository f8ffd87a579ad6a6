#include "cli/read_layers.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>
#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstring>
#include <set>
#include <system_error>

#include <tbb/parallel_for.h>

#include <OpenEXR/Iex.h>
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
#include "cli/layers_names.h"
#include "scene/vector.h"
#include "scene/wording.h"

namespace lampflight {
namespace {

constexpr int longest_side = 20'000;
constexpr int band_rows = 64;
constexpr float largest_lxs = 1e12f;

/// What is wrong with a file, thrown up to the door.
struct Unfit {
    std::string what;
};

/// Runs a step of reading; what is wrong comes back in a few words, whoever found it.
template <class Step>
auto guarded(Step step) -> std::variant<decltype(step()), std::string> {
    constexpr std::size_t longest_message = 160;
    try {
        return step();
    } catch (const Unfit& unfit) {
        return unfit.what;
    } catch (const Iex::BaseExc& error) {
        const std::string_view said(error.what());
        if (said.ends_with(ended_too_early)) return std::string(ended_too_early);
        return "it is damaged (" + printable(said, longest_message) + ")";
    } catch (const std::system_error& error) {
        return error.code().message();
    }
}

std::string text_attribute(const Imf::Header& header, const char* name) {
    const auto* text = header.findTypedAttribute<Imf::StringAttribute>(name);
    if (text == nullptr)
        throw Unfit{
            "it is an OpenEXR file of another making; allowed is one that 'lampflight render "
            "--layers' wrote"};
    return text->value();
}

bool keeps_every_bit(Imf::Compression compression) {
    return compression == Imf::NO_COMPRESSION || compression == Imf::RLE_COMPRESSION ||
           compression == Imf::ZIPS_COMPRESSION || compression == Imf::ZIP_COMPRESSION ||
           compression == Imf::PIZ_COMPRESSION;
}

bool is_light(const glm::vec3& lxs) {
    const auto in_range = [](float value) { return std::abs(value) <= largest_lxs; };
    if (!in_range(lxs.x) || !in_range(lxs.y) || !in_range(lxs.z)) return false;
    // A colour beyond Rec. 709 may lack one component, but no light is darker than none.
    const float most = std::max({std::abs(lxs.x), std::abs(lxs.y), std::abs(lxs.z)});
    return luminance(Rgb(lxs)) >= -1e-3 * static_cast<double>(most);
}

void check_light(ConstRow row, const std::string& layer) {
    const float* values = floats_of(row);
    bool plain = true;
    for (std::size_t i = 0; i < 3 * row.size(); ++i)
        plain &= values[i] >= 0.0f && values[i] <= largest_lxs;
    if (!plain && !std::ranges::all_of(row, is_light))
        throw Unfit{in_quotes(layer) + " holds what is no light"};
}

/// A film on its way in, a band of rows at a time.
struct FilmInput {
    std::string layer;
    int part;
    Image band;
};

/// What a take makes of one.
struct FilmOfTake {
    std::size_t input;
    float scale;
    glm::vec3 gain;
};

/// One take's films while they are read.
struct TakeInput {
    std::vector<FilmOfTake> films;  ///< in the order of the layers
    Image sum;
};

}  // namespace

struct LayersFile::Contents {
    std::unique_ptr<ExrInput> input;
    std::unique_ptr<Imf::MultiPartInputFile> file;
    LayersManifest manifest;
    std::string scene_text;

    explicit Contents(std::unique_ptr<ExrInput> source) : input(std::move(source)) {
        if (auto unfit = unfit_exr_header(*input)) throw Unfit{*unfit};
        Imf::Header::setMaxImageSize(longest_side, 256'000'000 / trail_columns);
        set_exr_threads();
        constexpr bool repair_offsets = false;
        file = std::make_unique<Imf::MultiPartInputFile>(*input, Imf::globalThreadCount(),
                                                         repair_offsets);
        auto read = read_manifest(text_attribute(file->header(0), layers_attribute));
        if (const auto* wrong = std::get_if<std::string>(&read)) throw Unfit{*wrong};
        manifest = std::get<LayersManifest>(std::move(read));
        scene_text = text_attribute(file->header(0), scene_attribute);
    }

    /// The part of a name; it must be plain, and no larger than the file's size allows.
    int part_named(const std::string& name, const Imath::Box2i& window) const {
        for (int part = 0; part < file->parts(); ++part) {
            const Imf::Header& header = file->header(part);
            if (!header.hasName() || header.name() != name) continue;
            if (!header.hasType() || header.type() != Imf::SCANLINEIMAGE)
                throw Unfit{"its part " + in_quotes(name) + " does not consist of plain rows"};
            if (header.dataWindow() != window)
                throw Unfit{"its part " + in_quotes(name) + " has not the size that it should"};
            if (!keeps_every_bit(header.compression()))
                throw Unfit{"its part " + in_quotes(name) + " is compressed with loss"};
            check_size(header);
            return part;
        }
        throw Unfit{"it has no part " + in_quotes(name)};
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
        if (bytes / most_packed > input->size()) throw Unfit{std::string(ended_too_early)};
    }

    const Imf::Channel& channel_of(int part, const std::string& name) const {
        const Imf::Channel* channel = file->header(part).channels().findChannel(name);
        if (channel == nullptr || channel->xSampling != 1 || channel->ySampling != 1)
            throw Unfit{"it has no channel " + in_quotes(name)};
        return *channel;
    }

    Imath::Box2i frame() const { return {{0, 0}, {manifest.pixels.x - 1, manifest.pixels.y - 1}}; }

    /// Finds a film among those to be read, or adds it.
    std::size_t film_input(const std::string& layer, const FilmInFile& film,
                           std::vector<FilmInput>& inputs) const {
        const int part = part_named(film.part, frame());
        for (std::size_t i = 0; i < inputs.size(); ++i)
            if (inputs[i].part == part && inputs[i].layer == layer) return i;
        for (const char* colour : {".R", ".G", ".B"})
            if (channel_of(part, layer + colour).type == Imf::UINT)
                throw Unfit{"its channel " + in_quotes(layer + colour) + " holds whole numbers"};
        inputs.push_back(
            {layer, part, Image(manifest.pixels.x, std::min(band_rows, manifest.pixels.y))});
        return inputs.size() - 1;
    }

    /// Reads rows of all the films that lie in one part.
    void read_band(int part, std::vector<FilmInput>& films, int top, int rows) const {
        Imf::FrameBuffer buffer;
        const std::size_t row_bytes =
            static_cast<std::size_t>(manifest.pixels.x) * sizeof(glm::vec3);
        for (FilmInput& film : films) {
            if (film.part != part) continue;
            char* first = reinterpret_cast<char*>(film.band.pixels.data()) -
                          static_cast<std::ptrdiff_t>(row_bytes) * top;
            for (std::size_t colour = 0; colour < 3; ++colour)
                buffer.insert(film.layer + '.' + "RGB"[colour],
                              Imf::Slice(Imf::FLOAT, first + colour * sizeof(float),
                                         sizeof(glm::vec3), row_bytes));
        }
        Imf::InputPart input_part(*file, part);
        input_part.setFrameBuffer(buffer);
        input_part.readPixels(top, top + rows - 1);
    }

    /// Adds a row of a take's films, in their order.
    static void add_row(const std::vector<FilmInput>& inputs, int in_band, TakeInput& take, int y) {
        const Row sum = take.sum.row(y);
        std::vector<glm::vec3> row;
        for (const FilmOfTake& film : take.films) {
            const ConstRow read = inputs[film.input].band.row(in_band);
            if (film.gain == glm::vec3(1.0f)) {
                add_film_row(sum, read, film.scale);
                continue;
            }
            row.resize(read.size());
            for (std::size_t x = 0; x < row.size(); ++x) row[x] = film.gain * read[x];
            add_film_row(sum, row, film.scale);
        }
    }

    void sum_up(std::vector<FilmInput> inputs, std::vector<TakeInput>& takes) const {
        std::set<int> parts;
        for (const FilmInput& film : inputs) parts.insert(film.part);
        for (TakeInput& take : takes)
            if (!take.films.empty()) take.sum = Image(manifest.pixels.x, manifest.pixels.y);
        for (int top = 0; top < manifest.pixels.y; top += band_rows) {
            const int rows = std::min(band_rows, manifest.pixels.y - top);
            for (const int part : parts) read_band(part, inputs, top, rows);
            tbb::parallel_for(0, rows, [&](int i) {
                for (const FilmInput& film : inputs) check_light(film.band.row(i), film.layer);
                for (TakeInput& take : takes)
                    if (!take.films.empty()) add_row(inputs, i, take, top + i);
            });
        }
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
        std::vector<glm::vec3> exposures(count * per_pixel);
        Imf::InputPart input_part(*file, part);
        input_part.setFrameBuffer(trail_buffer(columns, per_pixel, x, y, exposures));
        input_part.readPixels(0, rows - 1);

        exposures.resize(reached * per_pixel);
        check_light(exposures, layer);
        for (glm::vec3& exposure : exposures) exposure *= gain;
        std::vector<std::uint32_t> places(reached);
        const auto width = static_cast<std::uint32_t>(manifest.pixels.x);
        for (std::size_t i = 0; i < reached; ++i) {
            if (x[i] >= width || y[i] >= static_cast<std::uint32_t>(manifest.pixels.y))
                throw Unfit{in_quotes(layer) + " lies outside the frame"};
            places[i] = y[i] * width + x[i];
        }
        auto film =
            TrailFilm::restored(manifest.pixels, trail.parts_across, places, std::move(exposures));
        if (!film) throw Unfit{in_quotes(layer) + " is in disorder"};
        return *std::move(film);
    }

    void check_trail_channels(int part, std::size_t per_pixel) const {
        for (const char* name : {"x", "y"})
            if (channel_of(part, name).type != Imf::UINT)
                throw Unfit{"the places of its trails are no whole numbers"};
        for (std::size_t i = 0; i < per_pixel; ++i)
            for (const char* colour : {".R", ".G", ".B"})
                if (channel_of(part, trail_part_name(static_cast<int>(i)) + colour).type ==
                    Imf::UINT)
                    throw Unfit{"the light of its trails is in whole numbers"};
    }

    std::vector<ExposedTake> takes(const std::vector<const TakeInFile*>& listed,
                                   const LayerGain& gain) const {
        std::vector<ExposedTake> exposed;
        std::vector<FilmInput> inputs;
        std::vector<TakeInput> films(listed.size());
        for (std::size_t i = 0; i < listed.size(); ++i) {
            exposed.push_back({listed[i]->name, {}, manifest.pixels, {}});
            for (const LayerInFile& layer : listed[i]->layers) {
                const std::optional<glm::vec3> made = gain(listed[i]->name, layer.name);
                if (!made) continue;
                for (const FilmInFile& film : layer.films)
                    films[i].films.push_back({film_input(layer.name, film, inputs),
                                              static_cast<float>(film.scale), *made});
                if (layer.trail)
                    exposed.back().layers.push_back(
                        {layer.name, {}, trail(layer.name, *layer.trail, *made)});
            }
        }
        sum_up(std::move(inputs), films);
        for (std::size_t i = 0; i < listed.size(); ++i)
            if (!films[i].films.empty())
                exposed[i].layers.push_back(
                    {"film", {{std::make_shared<const Image>(std::move(films[i].sum)), 1.0f}}});
        return exposed;
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

std::variant<std::vector<ExposedTake>, std::string> LayersFile::takes(
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
