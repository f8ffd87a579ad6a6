#include "cli/layers/write_layers.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <functional>
#include <system_error>

#include <OpenEXR/Iex.h>
#include <OpenEXR/ImfChannelList.h>
#include <OpenEXR/ImfChromaticities.h>
#include <OpenEXR/ImfHeader.h>
#include <OpenEXR/ImfMultiPartOutputFile.h>
#include <OpenEXR/ImfOutputPart.h>
#include <OpenEXR/ImfPartType.h>
#include <OpenEXR/ImfStandardAttributes.h>
#include <OpenEXR/ImfStringAttribute.h>
#include <fmt/format.h>

#include "cli/layers/exr_output.h"
#include "cli/layers/layers_plan.h"
#include "cli/layers/trail_columns.h"
#include "cli/pictures/exr_colours.h"
#include "cli/pictures/exr_threads.h"

namespace lampflight {
namespace {

constexpr float largest_half = 65504.0f;
constexpr double most_iso_of_half = 12800.0;
constexpr int band_rows = 64;

/// Fills a row of a film, from the window's left edge.
using FillRow = std::function<void(int y, Row row)>;

/// Writes a film band by band, turned into the type of the part's channels.
template <class Sample>
void write_film(Imf::OutputPart& part, const Imath::Box2i& window, const std::string& layer,
                const FillRow& fill) {
    const auto width = static_cast<std::size_t>(window.max.x - window.min.x + 1);
    std::vector<Sample> band(3 * width * band_rows);
    const Imf::PixelType type = sizeof(Sample) == 2 ? Imf::HALF : Imf::FLOAT;
    for (int top = window.min.y; top <= window.max.y; top += band_rows) {
        const int rows = std::min(band_rows, window.max.y - top + 1);
        tbb::parallel_for(0, rows, [&](int i) {
            std::vector<glm::vec3> row(width);
            fill(top + i, row);
            std::copy_n(floats_of(ConstRow(row)), 3 * width,
                        &band[3 * width * static_cast<std::size_t>(i)]);
        });
        const Imath::Box2i here({window.min.x, top}, {window.max.x, top + rows - 1});
        part.setFrameBuffer(colour_buffer(type, band.data(), here, layer + '.'));
        part.writePixels(rows);
    }
}

Imf::Header header_of(const LayersSource& source, const std::string& name,
                      const Imath::Box2i& window, Imf::Compression compression) {
    const glm::ivec2 size = source.shoot.camera.pixels;
    Imf::Header header(Imath::Box2i({0, 0}, {size.x - 1, size.y - 1}), window);
    header.setName(name);
    header.setType(Imf::SCANLINEIMAGE);
    header.compression() = compression;
    Imf::addChromaticities(header, Imf::Chromaticities());  // the default is Rec. 709 with D65
    header.insert("lampflight.unit", Imf::StringAttribute("lux seconds on the film"));
    if (!source.shoot.title.empty())
        header.insert("title", Imf::StringAttribute(source.shoot.title));
    return header;
}

void add_settings(Imf::Header& header, const Camera& camera, const ExposureSettings& settings) {
    Imf::addExpTime(header, static_cast<float>(settings.shutter_s));
    Imf::addAperture(header, static_cast<float>(settings.f_number));
    Imf::addIsoSpeed(header, static_cast<float>(settings.iso));
    Imf::addFocus(header, static_cast<float>(camera.focus_m));
}

void add_film_channels(Imf::Header& header, const std::string& layer, Imf::PixelType type) {
    for (int colour = 0; colour < 3; ++colour)
        header.channels().insert(layer + '.' + rgb[colour], Imf::Channel(type));
}

/// A part in the making: its header, and how it is written.
struct PlannedPart {
    Imf::Header header;
    std::function<void(Imf::OutputPart&)> write;
};

class Writer {
public:
    Writer(const LayersSource& source, SampleType type)
        : source_(source), type_(type), plan_(layers_plan(source.takes)) {
        for (const FilmPart& part : plan_.films) add_film(part);
        for (const TrailPart& trail : plan_.trails) add_trail_picture(trail);
        for (const TrailPart& trail : plan_.trails) add_trail_parts(trail);
        if (parts_.empty()) add_darkness();
        describe(parts_.front().header);
    }

    void write(Imf::OStream& stream) const {
        std::vector<Imf::Header> headers;
        for (const PlannedPart& part : parts_) headers.push_back(part.header);
        Imf::MultiPartOutputFile file(stream, headers.data(), static_cast<int>(headers.size()));
        for (std::size_t i = 0; i < parts_.size(); ++i) {
            Imf::OutputPart part(file, static_cast<int>(i));
            parts_[i].write(part);
        }
    }

private:
    Imf::PixelType type_for(const std::vector<std::size_t>& takes, float largest) const {
        const bool fits = std::ranges::all_of(takes, [&](std::size_t take) {
            return source_.takes[take].settings.iso <= most_iso_of_half;
        });
        return type_ == SampleType::half && fits && largest <= largest_half ? Imf::HALF
                                                                            : Imf::FLOAT;
    }

    void add(Imf::Header header, const Imath::Box2i& window, Imf::PixelType type,
             const std::string& layer, FillRow fill) {
        add_film_channels(header, layer, type);
        parts_.push_back(
            {std::move(header), [window, type, layer, fill = std::move(fill)](auto& part) {
                 if (type == Imf::HALF)
                     write_film<half>(part, window, layer, fill);
                 else
                     write_film<float>(part, window, layer, fill);
             }});
    }

    void add_film(const FilmPart& part) {
        const glm::ivec2 size = source_.shoot.camera.pixels;
        const Imath::Box2i window({0, part.rows.first}, {size.x - 1, part.rows.end - 1});
        // Films of the night are grain: compression takes longer than reading them does.
        Imf::Header header = header_of(source_, part.name, window, Imf::NO_COMPRESSION);
        if (part.takes.size() == 1)
            add_settings(header, source_.shoot.camera, source_.takes[part.takes.front()].settings);
        float largest = 0.0f;
        for (const glm::vec3& pixel : part.film->pixels)
            largest = std::max({largest, pixel.x, pixel.y, pixel.z});
        const auto fill = [film = part.film](int y, Row row) {
            std::ranges::copy(film->row(y), row.begin());
        };
        add(std::move(header), window, type_for(part.takes, largest), part.layer.text(), fill);
    }

    void add_trail_picture(const TrailPart& trail) {
        Imath::Box2i window;
        float largest = 0.0f;
        for (const TrailPixel& pixel : trail.pixels) {
            window.extendBy({pixel.x, pixel.y});
            largest = std::max({largest, pixel.mean_lxs.x, pixel.mean_lxs.y, pixel.mean_lxs.z});
        }
        Imf::Header header = header_of(source_, trail.picture_name, window, Imf::ZIP_COMPRESSION);
        add_settings(header, source_.shoot.camera, source_.takes[trail.take].settings);
        const auto fill = [&pixels = trail.pixels, left = window.min.x](int y, Row row) {
            std::ranges::fill(row, glm::vec3(0.0f));
            for (auto pixel = std::ranges::lower_bound(pixels, y, {}, &TrailPixel::y);
                 pixel != pixels.end() && pixel->y == y; ++pixel)
                row[static_cast<std::size_t>(pixel->x - left)] = pixel->mean_lxs;
        };
        add(std::move(header), window, type_for({trail.take}, largest), trail.layer.text(), fill);
    }

    void add_trail_parts(const TrailPart& trail) {
        const glm::ivec2 size = trail_size(static_cast<std::int64_t>(trail.pixels.size()));
        const Imath::Box2i window({0, 0}, {size.x - 1, size.y - 1});
        Imf::Header header = header_of(source_, trail.parts_name, window, Imf::NO_COMPRESSION);
        add_settings(header, source_.shoot.camera, source_.takes[trail.take].settings);
        header.channels().insert("x", Imf::Channel(Imf::UINT));
        header.channels().insert("y", Imf::Channel(Imf::UINT));
        for (int i = 0; i < trail.parts_across * trail.parts_across; ++i)
            add_film_channels(header, trail_part_name(i), Imf::FLOAT);
        parts_.push_back({std::move(header),
                          [&trail](Imf::OutputPart& part) { write_trail_parts(part, trail); }});
    }

    static void write_trail_parts(Imf::OutputPart& part, const TrailPart& trail) {
        TrailColumns columns(static_cast<std::int64_t>(trail.pixels.size()), trail.parts_across);
        auto to = columns.exposures_lxs.begin();
        for (std::size_t i = 0; i < trail.pixels.size(); ++i) {
            columns.x[i] = static_cast<std::uint32_t>(trail.pixels[i].x);
            columns.y[i] = static_cast<std::uint32_t>(trail.pixels[i].y);
            to = std::ranges::copy(trail.pixels[i].parts, to).out;
        }
        part.setFrameBuffer(columns.buffer());
        part.writePixels(columns.size.y);
    }

    /// OpenEXR has no file without a part.
    void add_darkness() {
        const Imath::Box2i window({0, 0}, {0, 0});
        add(header_of(source_, "no light", window, Imf::NO_COMPRESSION), window, Imf::HALF, "none",
            [](int, Row row) { std::ranges::fill(row, glm::vec3(0.0f)); });
    }

    void describe(Imf::Header& header) const {
        LayersManifest manifest;
        manifest.program_version = LAMPFLIGHT_VERSION;
        manifest.scene_name = source_.scene_name;
        manifest.changes = source_.changes;
        manifest.path_files = source_.shoot.path_files;
        manifest.pixels = source_.shoot.camera.pixels;
        manifest.settings = source_.settings;
        manifest.takes = plan_.takes;
        header.insert(layers_attribute, Imf::StringAttribute(manifest_text(manifest)));
        header.insert(scene_attribute, Imf::StringAttribute(source_.scene_text));
        Imf::addComments(
            header,
            fmt::format(
                "Layers of a long exposure by lampflight {}: focal-plane exposure in lux seconds, "
                "linear Rec. 709. Mid-grey is 10 / ISO lux seconds. A take's film is the sum of "
                "its layers. Parts \"by sensor pixel\" are for lampflight itself.",
                LAMPFLIGHT_VERSION));
    }

    const LayersSource& source_;
    SampleType type_;
    LayersPlan plan_;
    std::vector<PlannedPart> parts_;
};

}  // namespace

Expected<Done> write_layers(const std::filesystem::path& file, const LayersSource& source,
                            SampleType type, const std::stop_token& stop) {
    set_exr_threads();
    const Writer writer(source, type);
    const auto fill = [&](int descriptor) {
        try {
            ExrFileOutput stream(descriptor, stop);
            writer.write(stream);
            stream.flush();
            return 0;
        } catch (const WriteStopped&) {
            return 0;  // the token tells
        } catch (const std::system_error& error) {
            return error.code().value();
        }
    };
    return write_whole_file(file, fill, stop);
}

}  // namespace lampflight
