// `lampflight render`: the photograph as a file, and its layers as another.
#include <chrono>
#include <filesystem>
#include <memory>
#include <string>

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include "cli/commands/commands.h"
#include "cli/commands/help_page.h"
#include "cli/commands/shared_options.h"
#include "cli/layers/write_layers.h"
#include "cli/pictures/write_picture.h"
#include "cli/session/picture_size.h"
#include "cli/session/whole_file.h"

namespace lampflight {
namespace {

struct RenderWords {
    ExposureWords exposure;
    std::string picture;
    std::string layers;  ///< empty for none
    bool clean = false;
    bool full_float = false;
};

/// The longer side of a picture when no size is asked for: small for a draft, the sensor's own
/// when fine.
int longer_side_px(Quality quality) {
    switch (quality) {
        case Quality::draft:
            return 960;
        case Quality::good:
            return 1500;
        case Quality::fine:
            break;
    }
    return longest_side_px;
}

Expected<ExposeOptions> expose_options_of(const RenderWords& words, const CLI::App& app) {
    auto options = exposure_of(words.exposure, app, Quality::good);
    if (!options) return options;
    if (words.picture.empty())
        return wrong_words(
            "name the picture to write, as in -o my-halo.png (.tif for 16 bits, .hdr or .exr for "
            "linear light)");
    options->longer_side_px = longer_side_px(options->settings.quality);
    if (words.full_float && words.layers.empty())
        return wrong_words("--float says how layers are written; name their file with --layers");
    return options;
}

Expected<Done> check_outputs(const std::filesystem::path& picture,
                             const std::filesystem::path& layers) {
    if (auto writable = check_writable(picture); !writable || layers.empty()) return writable;
    if (layers.lexically_normal() == picture.lexically_normal())
        return wrong_words("picture and layers can't be the same file; name two");
    return check_writable(layers);
}

Outcome run_render(const RenderWords& words, const CLI::App& app, const Session& session) {
    const auto start = std::chrono::steady_clock::now();
    const auto options = expose_options_of(words, app);
    if (!options) return options.failure();
    const auto kind = picture_kind(words.picture);
    if (!kind) return wrong_words(unknown_kind_text(words.picture));
    // Before the work, not after it.
    if (const auto outputs = check_outputs(words.picture, words.layers); !outputs)
        return outputs.failure();

    const auto text = scene_text_of(options->scene);
    if (!text) return text.failure();
    const auto exposed = expose_text(*text, *options, session);
    if (!exposed) return exposed.failure();
    const PlacedShoot& shoot = exposed->shoot;
    const std::vector<ExposedTake>& takes = exposed->takes;
    if (!words.layers.empty()) {
        const LayersSource source{shoot,
                                  takes,
                                  *text,
                                  options->scene.file.filename().string(),
                                  options->scene.overrides,
                                  options->settings};
        const SampleType type = words.full_float ? SampleType::full : SampleType::half;
        if (const auto written = write_layers(words.layers, source, type, session.stop); !written)
            return written.failure();
    }
    const Noise noise = words.clean ? Noise::left_out : Noise::counted;
    const auto bytes = picture_bytes(
        shoot.camera.pixels, [&](const KeepRows& keep) { photograph(shoot, takes, noise, keep); },
        *kind, picture_notes(shoot, *options, noise));
    if (!bytes)
        return failure(ExitCode::fault, "not enough memory for the picture; try a smaller --size");
    if (const auto written = write_whole_file(words.picture, *bytes, session.stop); !written)
        return written.failure();

    if (options->quiet) return {};
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
    return {ExitCode::done, "",
            fmt::format("{}: {} x {} pixels, {:.1f} s\n", words.picture, shoot.camera.pixels.x,
                        shoot.camera.pixels.y, taken.count())};
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
             "Not yet: haze before the ground.\n"
             "\n"
             "Example:\n"
             "  lampflight render my-halo.toml -o my-halo.png --quality draft\n"
             "  lampflight render my-halo.toml -o my-halo.png --layers my-halo.exr");
    return [&app, words](const Session& session) { return run_render(*words, app, session); };
}

}  // namespace lampflight
