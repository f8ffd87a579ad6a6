#include "cli/commands/meter.h"

#include <optional>
#include <utility>

#include <fmt/format.h>

#include "cli/pictures/picture_notes.h"
#include "cli/pictures/write_picture.h"
#include "cli/pictures/write_png.h"
#include "cli/session/whole_file.h"
#include "cli/sheets/exposure_overlay.h"

namespace lampflight {
namespace {

/// Why the overlay can't be written, found out before the work.
std::optional<Outcome> trouble_with_overlay(const std::filesystem::path& overlay) {
    if (overlay.empty()) return std::nullopt;
    if (picture_kind(overlay) != PictureKind::png)
        return failure(
            ExitCode::wrong_command_line,
            fmt::format("--overlay can't be {}; end its name in .png", overlay.string()));
    if (const auto trouble = trouble_writing(overlay))
        return failure(ExitCode::file_trouble, *trouble);
    return std::nullopt;
}

/// What to say of an overlay that was written, as notes; or the failure.
Outcome write_overlay(const MeterOptions& options, const Session& session, const Shoot& shoot,
                      const Image& picture, const MeterReading& reading) {
    const Canvas canvas = exposure_overlay(shoot, picture, reading);
    PictureNotes notes = picture_notes(shoot, options.expose, Noise::left_out);
    notes.settings += "Shown: exposure in stops from mid-grey\n";
    const auto bytes = png_bytes(canvas.codes(), canvas.width(), canvas.height(), notes);
    if (!bytes)
        return failure(ExitCode::fault, "not enough memory for the overlay; try a smaller --size");
    const WriteResult result = write_whole_file(options.overlay, *bytes, session.stop);
    if (result.written == Written::stopped) return interruption();
    if (result.written == Written::failed) return failure(ExitCode::file_trouble, result.trouble);
    if (options.expose.quiet) return {};
    return {ExitCode::done, "",
            fmt::format("{}: {} x {} pixels\n", options.overlay.string(), canvas.width(),
                        canvas.height())};
}

}  // namespace

Outcome run_meter(const MeterOptions& options, const Session& session) {
    if (auto trouble = trouble_with_overlay(options.overlay)) return std::move(*trouble);
    auto exposed = expose_scene(options.expose, session);
    if (auto* failed = std::get_if<Outcome>(&exposed)) return std::move(*failed);
    const auto& [shoot, takes] = std::get<ExposedScene>(exposed);
    const Image picture = photograph(shoot, takes);
    const MeterReading reading = meter(shoot, takes, picture);
    Outcome outcome;
    if (!options.overlay.empty())
        outcome = write_overlay(options, session, shoot, picture, reading);
    if (outcome.code == ExitCode::done)
        outcome.figures = options.json ? meter_json(shoot, reading) : meter_text(shoot, reading);
    return outcome;
}

}  // namespace lampflight
