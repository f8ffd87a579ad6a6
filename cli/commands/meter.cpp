// `lampflight meter`: the film's exposure where it matters, in stops from mid-grey.
#include <filesystem>
#include <memory>
#include <string>

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include "cli/commands/commands.h"
#include "cli/commands/shared_options.h"
#include "cli/pictures/picture_notes.h"
#include "cli/pictures/write_picture.h"
#include "cli/pictures/write_png.h"
#include "cli/reports/meter_report.h"
#include "cli/session/whole_file.h"
#include "cli/sheets/exposure_overlay.h"

namespace lampflight {
namespace {

struct MeterWords {
    ExposureWords exposure;
    bool json = false;
    std::string overlay;  ///< picture of the exposure to write; empty for none
};

/// Whether the overlay can be written, found out before the work.
Expected<Done> check_overlay(const std::string& overlay) {
    if (overlay.empty()) return Done{};
    if (picture_kind(overlay) != PictureKind::png)
        return wrong_words(fmt::format("--overlay can't be {}; end its name in .png", overlay));
    return check_writable(overlay);
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
    const auto options = exposure_of(words.exposure, app, Quality::draft);
    if (!options) return options.failure();
    if (const auto overlay = check_overlay(words.overlay); !overlay) return overlay.failure();
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
    outcome.figures = words.json ? meter_json(shoot, reading) : meter_text(shoot, reading);
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
    set_help(app, "lampflight meter SCENE [options]",
             "Example: lampflight meter my-halo.toml --set camera.iso=800");
    return [&app, words](const Session& session) { return run_meter(*words, app, session); };
}

}  // namespace lampflight
