#include "cli/commands/dusk.h"

#include <algorithm>
#include <cctype>

#include <fmt/format.h>

#include "cli/reports/dusk_report.h"
#include "cli/session/whole_file.h"
#include "renderer/develop/tone.h"
#include "renderer/sky/frame_sky.h"
#include "scene/basics/colour.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

bool is_svg(const std::filesystem::path& file) {
    std::string extension = file.extension().string();
    std::transform(extension.begin(), extension.end(), extension.begin(),
                   [](unsigned char letter) { return static_cast<char>(std::tolower(letter)); });
    return extension == ".svg";
}

/// Why the plot can't be written, before the work.
std::optional<Outcome> trouble_with_plot(const std::filesystem::path& plot) {
    if (plot.empty()) return std::nullopt;
    if (!is_svg(plot))
        return failure(ExitCode::wrong_command_line,
                       fmt::format("can't tell what kind of plot {} is; end its name in .svg",
                                   in_quotes(plot.string())));
    if (const auto trouble = trouble_writing(plot))
        return failure(ExitCode::file_trouble, *trouble);
    return std::nullopt;
}

/// The sky's mean as it comes out, linear for the display.
glm::vec3 developed(const glm::vec3& film_cd_m2, const ExposureSettings& settings,
                    const glm::dmat3& balance) {
    const double exposure = focal_plane_exposure_lxs(1.0, settings.shutter_s, settings.f_number) /
                            mid_grey_lxs(settings.iso);
    const Rgb over_mid_grey = glm::max(balance * (exposure * Rgb(film_cd_m2)), Rgb(0.0));
    return {tone(over_mid_grey.r), tone(over_mid_grey.g), tone(over_mid_grey.b)};
}

DuskReport report_of(const PlacedShoot& shoot, const Take& take, const std::stop_token& stop) {
    const DuskSpan span = dusk_span(shoot, take);
    const FrameSky sky(shoot, span.from_s, span.to_s, stop);
    const auto on_film = [&](double unix_s) {
        return static_cast<double>(luminance(sky.film_cd_m2(unix_s)));
    };
    DuskReport report{shoot.title,     *shoot.place, dusk_of(shoot, take, span, on_film),
                      sky.shows_sky(), sky.domes(),  {}};
    const glm::dmat3 balance =
        white_balance_matrix({shoot.camera.white_balance_k, shoot.camera.white_balance_duv});
    for (const DuskMinute& minute : report.dusk.minutes)
        report.sky_colours.push_back(
            developed(sky.film_cd_m2(minute.unix_s), report.dusk.settings, balance));
    return report;
}

/// The take that is told of, or why there is none.
std::variant<const Take*, Outcome> take_of(const Shoot& shoot, const std::string& name) {
    if (name.empty()) return &shoot.takes.front();
    if (const Take* take = find_named(shoot.takes, name)) return take;
    std::vector<std::string> known;
    for (const Take& take : shoot.takes) known.push_back(take.name);
    return failure(ExitCode::wrong_command_line,
                   "there is no take " + in_quotes(name) + hint(name, known));
}

}  // namespace

Outcome run_dusk(const DuskOptions& options, const Session& session) {
    if (auto trouble = trouble_with_plot(options.plot)) return std::move(*trouble);
    const auto opened = open_scene(options.scene);
    if (const auto* failed = std::get_if<Outcome>(&opened)) return *failed;
    const PlacedShoot& shoot = std::get<PlacedShoot>(opened);
    if (!shoot.place)
        return failure(ExitCode::wrong_scene,
                       "the scene has no [place]; dusk needs its latitude_deg, longitude_deg and "
                       "when");
    const auto take = take_of(shoot, options.take);
    if (const auto* failed = std::get_if<Outcome>(&take)) return *failed;

    const DuskReport report = report_of(shoot, *std::get<const Take*>(take), session.stop);
    if (session.stop.stop_requested()) return interruption();
    Outcome outcome{ExitCode::done,
                    options.json ? dusk_json(report) : dusk_text(report, options.plot.empty()), ""};
    if (options.plot.empty()) return outcome;
    const WriteResult result = write_whole_file(options.plot, dusk_plot(report), session.stop);
    if (result.written == Written::stopped) return interruption();
    if (result.written == Written::failed) return failure(ExitCode::file_trouble, result.trouble);
    if (!options.quiet) outcome.notes = fmt::format("{} is written\n", options.plot.string());
    return outcome;
}

}  // namespace lampflight
