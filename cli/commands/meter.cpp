// `lampflight meter`: the film's exposure where it matters, in stops from mid-grey.
#include <filesystem>
#include <memory>
#include <string>

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include "cli/commands/commands.h"
#include "cli/commands/help_page.h"
#include "cli/commands/shared_options.h"
#include "cli/pictures/picture_notes.h"
#include "cli/pictures/write_picture.h"
#include "cli/pictures/write_png.h"
#include "cli/reports/meter_report.h"
#include "cli/session/output_width.h"
#include "cli/session/whole_file.h"
#include "cli/sheets/exposure_overlay.h"

namespace lampflight {
namespace {

struct MeterWords {
    ExposureWords exposure;
    bool json = false;
    std::string overlay;  ///< picture of the exposure to write; empty for none
};

/// Whether the overlay is of a kind that can be written.
Expected<Done> check_overlay(const std::string& overlay) {
    if (overlay.empty()) return Done{};
    if (picture_kind(overlay) != PictureKind::png)
        return wrong_words(fmt::format("--overlay can't be {}; end its name in .png", overlay));
    return Done{};
}

/// What to say of the overlay once it is written.
Expected<std::string> write_overlay(const std::filesystem::path& file, const Canvas& canvas,
                                    PictureNotes notes, const Session& session) {
    notes.settings += "Shown: exposure in stops from mid-grey\n";
    const auto bytes = png_bytes(canvas.codes(), canvas.width(), canvas.height(), notes);
    if (!bytes)
        return failure(ExitCode::fault, "not enough memory for the overlay; try a smaller --size");
    if (const auto written = write_whole_file(file, *bytes, session.stop); !written)
        return written.failure();
    return fmt::format("{}: {} x {} pixels\n", file.string(), canvas.width(), canvas.height());
}

Outcome run_meter(const MeterWords& words, const CLI::App& app, const Session& session) {
    auto options = exposure_of(words.exposure, app, Quality::draft);
    if (!options) return options.failure();
    // The picture, and a take as the lens spreads it beside it.
    options->picture = {12.0, 40.0};
    if (const auto overlay = check_overlay(words.overlay); !overlay) return overlay.failure();
    if (!words.overlay.empty()) options->scene.outputs = {words.overlay};
    const auto exposed = expose_scene(*options, session);
    if (!exposed) return exposed.failure();
    const auto& [shoot, takes] = *exposed;
    const Image picture = photograph(shoot, takes);
    const MeterReading reading = meter(shoot, takes, picture);
    Outcome outcome;
    if (!words.overlay.empty()) {
        const auto notes = write_overlay(words.overlay, exposure_overlay(shoot, picture, reading),
                                         picture_notes(shoot, *options, Noise::left_out), session);
        if (!notes) return notes.failure();
        if (!options->quiet) outcome.notes = *notes;
    }
    outcome.figures =
        words.json ? meter_json(shoot, reading) : meter_text(shoot, reading, output_columns());
    return outcome;
}

}  // namespace

RunCommand offer_meter(CLI::App& app) {
    const auto words = std::make_shared<MeterWords>();
    add_scene_options(app, words->exposure.scene);
    add_json_flag(app, words->json);
    app.add_option("--overlay", words->overlay,
                   "Write the photograph's exposure as a picture as well, a colour for each stop, "
                   "with scale, points and trails")
        ->option_text("PICTURE.png");
    add_exposure_options(app, words->exposure, "draft", "longer side 960");
    set_help(
        app, "lampflight meter SCENE [options]",
        "Stops are counted from mid-grey, sRGB code 118. Noise is clean, visible or rough by its "
        "signal to noise: 40 and more, 10 and more, less. It is of one of the sensor's own pixels, "
        "up to where it clips; --json has the electrons.\n"
        "Light says which layers bring it: a lamp on surfaces or as a trail, the sky on "
        "surfaces or the sky itself. Veiling flare is what the lens lays at a point from "
        "elsewhere, less what it takes away there.\n"
        "Line width is a trail's full width at half of white, or of its own brightest if that is "
        "less, as it shows in the photograph: from the thinnest to the thickest place where the "
        "line is whole, alone and in the frame. Lamps that stand draw no trail.\n"
        "The overlay has a colour for each stop, cold under mid-grey, warm over it; black "
        "and burnt out are hatched. Rings are the points with their stops, diamonds the "
        "places where trails are brightest.\n"
        "\n"
        "Example:\n"
        "  lampflight meter my-halo.toml --set camera.iso=800");
    return [&app, words](const Session& session) { return run_meter(*words, app, session); };
}

}  // namespace lampflight
