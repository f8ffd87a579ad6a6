#include "cli/layers/read_layers.h"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <exception>
#include <fstream>
#include <istream>
#include <new>
#include <sstream>
#include <system_error>
#include <utility>

#include <OpenEXR/ImfChannelList.h>
#include <OpenEXR/ImfIO.h>
#include <OpenEXR/ImfMultiPartInputFile.h>
#include <OpenEXR/ImfPartType.h>
#include <OpenEXR/ImfStringAttribute.h>

#include "cli/layers/exr_guard.h"
#include "cli/layers/read_light.h"
#include "cli/layers/trail_columns.h"
#include "cli/layers/unfit_layers.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

namespace fs = std::filesystem;

/// Runs a step of reading; what is wrong comes back in a few words, whoever found it.
template <class Step>
auto guarded(Step step) -> std::variant<decltype(step()), std::string> {
    try {
        return step();
    } catch (const UnfitLayers& unfit) {
        return unfit.what;
    } catch (const std::bad_alloc&) {
        return "there is not enough memory to read it";
    } catch (const std::exception&) {  // of the library, in sentences of its own
        return "it is damaged";
    }
}

constexpr const char* ended_too_early = "it ends too early";

/// What OpenEXR reads through.
class ExrInput : public Imf::IStream {
public:
    explicit ExrInput(std::istream& from) : IStream("layers"), from_(from) {}

    bool read(char to[], int count) override {
        if (!from_.read(to, count)) throw UnfitLayers{ended_too_early};
        return true;
    }
    std::uint64_t tellg() override { return static_cast<std::uint64_t>(from_.tellg()); }
    void seekg(std::uint64_t place) override {
        from_.clear();
        from_.seekg(static_cast<std::streamoff>(place));
    }

private:
    std::istream& from_;
};

bool keeps_every_bit(const Imf::Header& part) {
    const Imf::Compression compression = part.compression();
    return compression == Imf::NO_COMPRESSION || compression == Imf::RLE_COMPRESSION ||
           compression == Imf::ZIPS_COMPRESSION || compression == Imf::ZIP_COMPRESSION ||
           compression == Imf::PIZ_COMPRESSION;
}

bool has_plain_rows(const Imf::Header& part) {
    if (part.hasType() && part.type() != Imf::SCANLINEIMAGE) return false;
    for (auto i = part.channels().begin(); i != part.channels().end(); ++i)
        if (i.channel().xSampling != 1 || i.channel().ySampling != 1) return false;
    return true;
}

bool is_whole_numbers(const Imf::Header& part, const std::string& name) {
    const Imf::Channel* const channel = part.channels().findChannel(name);
    if (channel == nullptr) throw UnfitLayers{"it has no channel " + in_quotes(name)};
    return channel->type == Imf::UINT;
}

std::string text_of(const Imf::Header& part, const char* attribute) {
    const auto* const text = part.findTypedAttribute<Imf::StringAttribute>(attribute);
    if (text == nullptr)
        throw UnfitLayers{
            "it is an OpenEXR file of another making; allowed is one that 'lampflight render "
            "--layers' wrote"};
    return text->value();
}

std::optional<int> part_named(const Imf::MultiPartInputFile& file, const std::string& name) {
    for (int i = 0; i < file.parts(); ++i)
        if (file.header(i).hasName() && file.header(i).name() == name) return i;
    return std::nullopt;
}

/// The part of a name, in plain rows from the left of a picture of some size, or all of them.
int sound_part(const Imf::MultiPartInputFile& file, const std::string& name, const glm::ivec2& size,
               bool all_rows) {
    const std::optional<int> number = part_named(file, name);
    if (!number) throw UnfitLayers{"it has no part " + in_quotes(name)};
    const Imf::Header& part = file.header(*number);
    if (!has_plain_rows(part))
        throw UnfitLayers{"its part " + in_quotes(name) + " does not consist of plain rows"};
    const auto& [least, most] = part.dataWindow();
    if (least.x != 0 || most.x != size.x - 1 || least.y < 0 || most.y >= size.y ||
        (all_rows && (least.y != 0 || most.y != size.y - 1)))
        throw UnfitLayers{"its part " + in_quotes(name) + " has not the size that it should"};
    if (!keeps_every_bit(part))
        throw UnfitLayers{"its part " + in_quotes(name) + " is compressed with loss"};
    return *number;
}

int film_part(const Imf::MultiPartInputFile& file, const std::string& layer, const FilmInFile& film,
              const glm::ivec2& pixels) {
    const int part = sound_part(file, film.part, pixels, false);
    for (const char* colour : {".R", ".G", ".B"})
        if (is_whole_numbers(file.header(part), layer + colour))
            throw UnfitLayers{"its channel " + in_quotes(layer + colour) + " holds whole numbers"};
    return part;
}

int trail_part(const Imf::MultiPartInputFile& file, const TrailInFile& trail) {
    const int part = sound_part(file, trail.part, trail_size(trail.reached_pixels), true);
    const Imf::Header& header = file.header(part);
    for (const char* name : {"x", "y"})
        if (!is_whole_numbers(header, name))
            throw UnfitLayers{"the places of its trails are no whole numbers"};
    for (int i = 0; i < trail.parts_across * trail.parts_across; ++i)
        for (const char* colour : {".R", ".G", ".B"})
            if (is_whole_numbers(header, trail_part_name(i) + colour))
                throw UnfitLayers{"the light of its trails is in whole numbers"};
    return part;
}

/// Throws where the parts that can be read claim more than the file holds.
void check_size(const Imf::MultiPartInputFile& file, std::uint64_t bytes) {
    double fewest_bytes = 0.0;  // whole numbers might overflow
    for (int i = 0; i < file.parts(); ++i) {
        const Imf::Header& part = file.header(i);
        if (!has_plain_rows(part) || !keeps_every_bit(part)) continue;
        const Imath::Box2i& window = part.dataWindow();
        const double unpacked = static_cast<double>(row_bytes(part)) *
                                static_cast<double>(window.max.y - window.min.y + 1);
        // No compression packs more than a thousand bytes into one.
        fewest_bytes += unpacked / (part.compression() == Imf::NO_COMPRESSION ? 1.0 : 1100.0);
    }
    if (fewest_bytes > static_cast<double>(bytes)) throw UnfitLayers{ended_too_early};
}

ExposedTake read_take(Imf::MultiPartInputFile& file, const TakeInFile& take,
                      const glm::ivec2& pixels, const LayerGain& gain) {
    std::shared_ptr<Image> film;
    std::optional<TrailFilm> trail;
    for (const LayerInFile& layer : take.layers) {
        const std::optional<glm::vec3> made = gain(take.name, layer.id);
        if (!made) continue;
        const std::string name = layer.id.text();
        for (const FilmInFile& listed : layer.films) {
            Imf::InputPart part(file, film_part(file, name, listed, pixels));
            if (!film) film = std::make_shared<Image>(pixels.x, pixels.y);
            add_film(part, name, *made, static_cast<float>(listed.scale), *film);
        }
        if (!layer.trail || layer.trail->reached_pixels == 0) continue;
        Imf::InputPart part(file, trail_part(file, *layer.trail));
        if (!trail) trail.emplace(pixels.x, pixels.y, layer.trail->parts_across);
        if (layer.trail->parts_across != trail->side())
            throw UnfitLayers{"its trails are not cut alike"};
        add_trail(part, name, *layer.trail, *made, pixels, *trail);
    }
    Layer all;
    if (film) all.films.push_back({std::move(film), 1.0f});
    all.trail = std::move(trail);
    return {take.name, {}, pixels, {std::move(all)}};
}

}  // namespace

LayersFile::LayersFile(std::shared_ptr<std::istream> stream, std::uint64_t bytes)
    : stream_(std::move(stream)), bytes_(bytes), input_(std::make_shared<ExrInput>(*stream_)) {
    check_exr_header(*stream_, bytes_);
    input_->seekg(0);
    constexpr int threads_for_packed_parts = 0;
    constexpr bool mend_tables = false;
    file_ =
        std::make_shared<Imf::MultiPartInputFile>(*input_, threads_for_packed_parts, mend_tables);
    manifest_ = read_manifest(text_of(file_->header(0), layers_attribute));
    scene_text_ = text_of(file_->header(0), scene_attribute);
}

std::variant<LayersFile, std::string> LayersFile::open(const fs::path& file) {
    std::error_code error;
    const fs::file_status status = fs::status(file, error);
    if (error) return error.message();
    if (!fs::is_regular_file(status)) return "it is not a plain file";
    auto stream = std::make_shared<std::ifstream>(file, std::ios::binary);
    if (!*stream) return std::string(std::strerror(errno));
    const std::uint64_t bytes = fs::file_size(file, error);
    if (error) return error.message();
    return guarded([&] { return LayersFile(std::move(stream), bytes); });
}

std::variant<LayersFile, std::string> LayersFile::in_memory(const std::string& bytes) {
    return guarded(
        [&] { return LayersFile(std::make_shared<std::istringstream>(bytes), bytes.size()); });
}

std::variant<std::vector<ExposedTake>, std::string> LayersFile::takes(
    const std::vector<const TakeInFile*>& listed, const LayerGain& gain) {
    return guarded([&] {
        check_size(*file_, bytes_);
        std::vector<ExposedTake> takes;
        for (const TakeInFile* take : listed)
            takes.push_back(read_take(*file_, *take, manifest_.pixels, gain));
        return takes;
    });
}

bool LayersFile::is_half(const TakeInFile& take) const {
    for (const LayerInFile& layer : take.layers)
        for (const FilmInFile& film : layer.films)
            if (const std::optional<int> part = part_named(*file_, film.part)) {
                const auto* red =
                    file_->header(*part).channels().findChannel(layer.id.text() + ".R");
                if (red != nullptr && red->type == Imf::HALF) return true;
            }
    return false;
}

}  // namespace lampflight
