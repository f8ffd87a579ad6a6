// `lampflight render`: the photograph as a file, and its layers as another.
#include <algorithm>
#include <chrono>
#include <filesystem>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <CLI/CLI.hpp>

#include "cli/commands/commands.h"
#include "cli/commands/help_page.h"
#include "cli/commands/shared_options.h"
#include "cli/layers/write_layers.h"
#include "cli/pictures/write_picture.h"
#include "cli/session/picture_size.h"
#include "cli/session/whole_file.h"
#include "cli/sheets/guides.h"
#include "scene/shoot/straying_of.h"

namespace lampflight {
namespace {

struct RenderWords {
    ExposureWords exposure;
    std::string picture;
    std::string layers;  ///< empty for none
    bool clean = false;
    bool full_float = false;
    bool guides = false;
    int repeats = 0;  ///< pictures to write, each of another go; 0 for one without a number
};

Expected<ExposeOptions> expose_options_of(const RenderWords& words, const CLI::App& app) {
    auto options = exposure_of(words.exposure, app, Quality::good);
    if (!options) return options;
    if (words.picture.empty())
        return wrong_words(
            "name the picture to write, as in -o my-halo.png (.tif for 16 bits, .hdr or .exr for "
            "linear light)");
    options->longer_side_px = usual_longer_side_px(options->settings.quality);
    if (words.full_float && words.layers.empty())
        return wrong_words("--float says how layers are written; name their file with --layers");
    if (words.repeats > 0 && !words.layers.empty())
        return wrong_words(
            "a file of layers holds one go at the scene; leave out --repeats or --layers");
    return options;
}

Expected<PictureKind> kind_of(const RenderWords& words) {
    const auto kind = picture_kind(words.picture);
    if (!kind) return wrong_words(unknown_kind_text(words.picture));
    if (words.guides && *kind != PictureKind::png && *kind != PictureKind::tiff)
        return wrong_words(
            fmt::format("--guides are drawn over a developed picture, and {} keeps linear light; "
                        "end its name in .png or .tif",
                        words.picture));
    return *kind;
}

/// The pictures to write: my-halo.png, or my-halo-1.png and so on.
std::vector<std::filesystem::path> picture_files(const RenderWords& words) {
    const std::filesystem::path file(words.picture);
    if (words.repeats == 0) return {file};
    std::vector<std::filesystem::path> files;
    for (int go = 1; go <= words.repeats; ++go) {
        files.push_back(file);
        files.back().replace_filename(
            fmt::format("{}-{}{}", file.stem().string(), go, file.extension().string()));
    }
    return files;
}

/// Whether a drone strays in any of the takes that are asked for.
bool strays(const Shoot& shoot, const std::vector<std::string>& asked_for) {
    const std::vector<std::string>& names = asked_for.empty() ? shoot.photograph.takes : asked_for;
    return std::ranges::any_of(names, [&](const std::string& name) {
        const Take* take = find_named(shoot.takes, name);
        return take && std::ranges::any_of(take->flights, [&](const std::string& flight_name) {
                   const Flight* flight = find_named(shoot.flights, flight_name);
                   return flight && straying_of(shoot, *take, *flight) != nullptr;
               });
    });
}

/// Makes the files that are asked for from one scene.
class Render {
public:
    Render(const RenderWords& words, const ExposeOptions& options, PictureKind kind,
           const Session& session)
        : words_(words), options_(options), kind_(kind), session_(session) {
        options_.scene.outputs = picture_files(words);
        if (!words.layers.empty()) options_.scene.outputs.emplace_back(words.layers);
    }

    Outcome run() {
        const auto files = picture_files(words_);
        auto text = scene_text_of(options_.scene);
        if (!text) return text.failure();
        text_ = *std::move(text);
        auto shoot = sized_shoot(text_, options_);
        if (!shoot) return shoot.failure();
        shoot_ = *std::move(shoot);
        const bool other_paths = words_.repeats > 0 && strays(shoot_, options_.takes);
        if (words_.repeats > 0 && !other_paths && words_.clean)
            return wrong_words(
                "no flight of it strays, and --clean leaves the noise out: all pictures would be "
                "alike; leave out --repeats or --clean");
        for (std::size_t i = 0; i < files.size(); ++i) {
            if (words_.repeats > 0) shoot_.go = static_cast<int>(i) + 1;
            const auto written = write_go(files[i], i == 0 || other_paths);
            if (!written) return ended_early(written.failure());
            written_.push_back(files[i].string());
        }
        if (options_.quiet) return {};
        if (words_.repeats > 0 && !other_paths)
            notes_ += "No flight of it strays: the pictures differ in noise alone.\n";
        return {ExitCode::done, "", notes_};
    }

private:
    /// One go at the scene, exposed where the takes at hand are not its own.
    Expected<Done> write_go(const std::filesystem::path& file, bool exposes) {
        if (exposes) {
            takes_.clear();  // before, so that memory holds one go's
            auto takes = expose_takes(shoot_, options_, session_);
            if (!takes) return takes.failure();
            takes_ = *std::move(takes);
        }
        if (!words_.layers.empty())
            if (const auto written = write_its_layers(); !written) return written;
        if (const auto written = write_picture(file); !written) return written;
        const auto now = std::chrono::steady_clock::now();
        const std::chrono::duration<double> taken = now - std::exchange(start_, now);
        notes_ += fmt::format("{}: {} x {} pixels, {:.1f} s\n", file.string(),
                              shoot_.camera.pixels.x, shoot_.camera.pixels.y, taken.count());
        return Done{};
    }

    Expected<Done> write_its_layers() const {
        const LayersSource source{shoot_,
                                  takes_,
                                  text_,
                                  options_.scene.file.filename().string(),
                                  options_.scene.overrides,
                                  options_.settings};
        const SampleType type = words_.full_float ? SampleType::full : SampleType::half;
        return write_layers(words_.layers, source, type, session_.stop);
    }

    Expected<Done> write_picture(const std::filesystem::path& file) const {
        const Noise noise = words_.clean ? Noise::left_out : Noise::counted;
        PictureNotes notes = picture_notes(shoot_, options_, noise);
        DrawOver draw;
        if (words_.guides) {
            notes.settings += "Drawn over: guides\n";
            draw = [this](Canvas& canvas) { draw_guides(canvas, shoot_, options_.takes); };
        }
        const auto bytes = picture_bytes(
            shoot_.camera.pixels,
            [&](const KeepRows& keep) { photograph(shoot_, takes_, noise, keep); }, kind_, notes,
            draw);
        if (!bytes) return bytes.failure();
        return write_whole_file(file, *bytes, session_.stop);
    }

    /// A failure that does not hide what was written before it.
    Outcome ended_early(const Outcome& why) const {
        if (written_.empty()) return why;
        const std::string names = fmt::format("{}", fmt::join(written_, ", "));
        if (why.code == ExitCode::interrupted) return interruption(names);
        return {why.code, "", why.notes + "Written before: " + names + "\n"};
    }

    const RenderWords& words_;
    ExposeOptions options_;
    PictureKind kind_;
    const Session& session_;
    std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
    std::string text_;
    PlacedShoot shoot_;
    std::vector<ExposedTake> takes_;
    std::vector<std::string> written_;
    std::string notes_;
};

Outcome run_render(const RenderWords& words, const CLI::App& app, const Session& session) {
    auto options = expose_options_of(words, app);
    if (!options) return options.failure();
    const auto kind = kind_of(words);
    if (!kind) return kind.failure();
    options->picture = bytes_of(*kind);
    return Render(words, *options, *kind, session).run();
}

}  // namespace

RunCommand offer_render(CLI::App& app) {
    const auto words = std::make_shared<RenderWords>();
    add_scene_options(app, words->exposure.scene);
    add_output_option(app, words->picture, "PICTURE",
                      "Picture to write: .png as developed, .tif the same in 16 bits to finish "
                      "elsewhere, .hdr or .exr with the same in linear light, where mid-grey is 1");
    add_clean_flag(app, words->clean);
    app.add_option("--layers", words->layers,
                   "Also write the light of every lamp and of the sky as an OpenEXR file, for "
                   "'lampflight retune' and other programs")
        ->option_text("FILE.exr");
    app.add_flag("--float", words->full_float,
                 "Layers to the last bit, in twice the space; else in half floats");
    app.add_flag("--guides", words->guides,
                 "Draw over the picture what is planned: paths with seconds, thirds, horizon, "
                 "names (.png and .tif)");
    app.add_option("--repeats", words->repeats,
                   "Write so many goes at the scene, 2 to 20, as NAME-1, NAME-2, ...: in each, "
                   "drones that stray do so anew, and noise is other")
        ->option_text("N")
        ->check(CLI::Range(2, 20));
    add_exposure_options(app, words->exposure, "good",
                         "longer side 960 for a draft, 1500 for good, the sensor's own for fine");
    set_help(app, "lampflight render SCENE -o PICTURE [options]",
             "Light is photometric all the way: lumens, lux, cd/m2; the film gets H = q L t / "
             "N^2 lux seconds (ISO 12232). Mid-grey, sRGB code 118, is 10 / ISO lux seconds, "
             "white 78 / ISO.\n"
             "draft, good and fine are one computation at three error bounds: numbers read off "
             "a draft are right. The bounds are for a picture looked at as a whole; a larger "
             "one may err more in each of its smaller pixels.\n"
             "Shot noise, dark current and reading are in every picture, at the strength that "
             "camera.sensor and the ISO give them, alike for the same photograph.noise_seed. "
             "Nothing is smoothed afterwards. Takes blended by lighten show brighter blacks "
             "than one take, as in truth: the brightest grain wins.\n"
             "A line many stops over white is as wide as the lens spreads it: "
             "camera.lens.blades diffract it, camera.lens.glare_share of it is scattered over "
             "the frame.\n"
             ".png and .tif are sRGB and carry title and settings as text, but never the "
             "place; .tif has 16 bits and no dither. .hdr and .exr are linear and clipped as "
             "the sensor clips.\n"
             "A file of layers keeps the light of every lamp and of the sky apart, in lux "
             "seconds on the film: 6 bytes a pixel and layer, twice that with --float. It "
             "holds the scene with its place: think before you pass it on.\n"
             "Guides show the plan, whatever stands before it, in a colour for each take: whole "
             "where lamps burn, dashed where they are out, dotted where they are turned away, by "
             "five stops and more under the flight's brightest towards the camera. Ticks are "
             "seconds of the take's shutter.\n"
             "The first of several goes is the picture without --repeats.\n"
             "Not yet: haze before the ground.\n"
             "\n"
             "Example:\n"
             "  lampflight render my-halo.toml -o my-halo.png --quality draft\n"
             "  lampflight render my-halo.toml -o my-halo.png --layers my-halo.exr\n"
             "  lampflight render my-halo.toml -o plan.png --guides --quality draft");
    return [&app, words](const Session& session) { return run_render(*words, app, session); };
}

}  // namespace lampflight
