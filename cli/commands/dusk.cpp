// `lampflight dusk`: how sky and ground darken over an evening, at the scene's settings.
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include "cli/commands/commands.h"
#include "cli/commands/help_page.h"
#include "cli/commands/shared_options.h"
#include "cli/reports/dusk_report.h"
#include "cli/session/memory_bounds.h"
#include "cli/session/output_width.h"
#include "cli/session/whole_file.h"
#include "cli/sheets/dusk_plot.h"
#include "renderer/develop/tone.h"
#include "renderer/sky/frame_sky.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

struct DuskWords {
    SceneWords scene;
    bool json = false;
    std::string plot;                ///< empty for none
    std::optional<int> every_min;    ///< rows of the whole evening; else those that matter
    std::vector<std::string> takes;  ///< one at most; none for the first
    std::optional<double> memory_gb{};
};

/// Whether the plot is of a kind that can be written.
Expected<Done> check_plot(const std::filesystem::path& plot) {
    if (plot.empty()) return Done{};
    if (lower_case(plot.extension().string()) != ".svg")
        return wrong_words(fmt::format("can't tell what kind of plot {} is; end its name in .svg",
                                       in_quotes(plot.string())));
    return Done{};
}

DuskReport report_of(const PlacedShoot& shoot, const Take& take, const std::stop_token& stop) {
    const DuskSpan span = dusk_span(shoot, take);
    const FrameSky sky(shoot, span.from_s, span.to_s, stop);
    const auto on_film = [&](double unix_s) {
        return static_cast<double>(luminance(sky.film_cd_m2(unix_s)));
    };
    DuskReport report{shoot.title,     *shoot.place, dusk_of(shoot, take, span, on_film),
                      sky.shows_sky(), sky.domes(),  {}};
    const ExposureSettings& settings = report.dusk.settings;
    const double lxs_of_cd_m2 =
        focal_plane_exposure_lxs(1.0, settings.shutter_s, settings.f_number);
    for (const DuskMinute& minute : report.dusk.minutes)
        report.sky_colours.push_back(
            swatch_colour(lxs_of_cd_m2 * Rgb(sky.film_cd_m2(minute.unix_s)), settings.iso,
                          {shoot.camera.white_balance_k, shoot.camera.white_balance_duv}));
    return report;
}

/// With a plot, which tells them better, the minutes are left out unless they are asked for.
std::string table_of(const DuskReport& report, const DuskWords& words) {
    constexpr int usual_min = 5;
    const DuskRows rows = words.every_min      ? DuskRows::all
                          : words.plot.empty() ? DuskRows::that_matter
                                               : DuskRows::none;
    return dusk_text(report, rows, words.every_min.value_or(usual_min), output_columns());
}

Outcome run_dusk(const DuskWords& words, const CLI::App& app, const Session& session) {
    auto scene = scene_of(words.scene, app);
    if (!scene) return scene.failure();
    if (words.takes.size() > 1) return wrong_words("dusk tells of one take; give --take once");
    if (const auto plot = check_plot(words.plot); !plot) return plot.failure();
    if (!words.plot.empty()) scene->outputs = {words.plot};
    const auto shoot = open_scene(*scene);
    if (!shoot) return shoot.failure();
    if (!shoot->place)
        return failure(ExitCode::wrong_scene,
                       "the scene has no [place]; dusk needs its latitude_deg, longitude_deg and "
                       "when");
    if (const auto known = check_takes(*shoot, words.takes); !known) return known.failure();
    if (const auto enough =
            check_memory(memory_for_dusk(workshop_now()), words.memory_gb, "this evening",
                         "close other programs, or leave large meshes out");
        !enough)
        return enough.failure();
    const Take& take =
        words.takes.empty() ? shoot->takes.front() : *find_named(shoot->takes, words.takes.front());

    const DuskReport report = report_of(*shoot, take, session.stop);
    if (session.stop.stop_requested()) return interruption();
    Outcome outcome{ExitCode::done, words.json ? dusk_json(report) : table_of(report, words), ""};
    if (words.plot.empty()) return outcome;
    if (const auto written = write_whole_file(words.plot, dusk_plot(report), session.stop);
        !written)
        return written.failure();
    if (!words.scene.quiet) outcome.notes = fmt::format("{} is written\n", words.plot);
    return outcome;
}

}  // namespace

RunCommand offer_dusk(CLI::App& app) {
    const auto words = std::make_shared<DuskWords>();
    add_scene_options(app, words->scene);
    add_memory_option(app, words->memory_gb);
    add_json_flag(app, words->json);
    add_output_option(app, words->plot, "PLOT",
                      "Plot to write, .svg; the table then leaves the minutes out");
    app.add_option("--every", words->every_min,
                   "Rows of the whole evening, one for so many minutes, 1 to 60 (default: every "
                   "fifth minute of the hours that matter)")
        ->option_text("MINUTES")
        ->check(CLI::Range(1, 60));
    add_take_option(app, words->takes,
                    "Take whose settings and lamps to tell of (default: the first)");
    set_help(app, "lampflight dusk SCENE [options]",
             "The scene needs a [place]. All stops are from mid-grey, at the take's settings.\n"
             "Sky: mean of the frame above a level horizon as the film gets it, of the sky "
             "that render shows, without discs and stars.\n"
             "Ground, lit ground: a square metre of open, level ground, where the take's lamps "
             "light it most in the frame, without and with them. Hills, subjects and their "
             "shadows are for meter.\n"
             "Window: the time in which the sky is within half a stop of sky.want_stops; the "
             "shutter is the one that would bring it there.\n"
             "A moment past the middle of the night shows the morning instead.\n"
             "\n"
             "Example:\n"
             "  lampflight dusk my-halo.toml -o dusk.svg --set sky.want_stops=-2");
    return [&app, words](const Session& session) { return run_dusk(*words, app, session); };
}

}  // namespace lampflight
