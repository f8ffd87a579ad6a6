// `lampflight path`: the flights of a take as paths, for maps and tables.
#include <algorithm>
#include <cstddef>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include "cli/commands/commands.h"
#include "cli/commands/help_page.h"
#include "cli/commands/shared_options.h"
#include "cli/session/whole_file.h"
#include "scene/basics/names.h"
#include "scene/basics/wording.h"
#include "scene/flights/files/write_path_file.h"
#include "scene/shoot/flown_flight.h"

namespace lampflight {
namespace {

struct PathWords {
    SceneWords scene;
    std::vector<std::string> takes;    ///< one at most; none for the first
    std::vector<std::string> flights;  ///< none for all of the take
    std::string output;                ///< empty for standard output
    std::string format;                ///< empty for what the output's name says
};

/// Words of --format, in the order of `PathFormat`.
const std::vector<std::string> format_words{"csv", "geojson", "gpx", "kml"};

/// Before the work: 2 where no format is meant that there is, or two are.
Expected<PathFormat> format_of(const PathWords& words) {
    const std::optional<PathFormat> of_file = path_format_of(words.output);
    if (words.format.empty()) {
        if (of_file || words.output.empty()) return of_file.value_or(PathFormat::csv);
        return wrong_words(
            fmt::format("can't tell what kind of file {} is; end its name in .csv, .geojson, .gpx "
                        "or .kml, or give --format",
                        in_quotes(words.output)));
    }
    const auto word = std::ranges::find(format_words, words.format);
    if (word == format_words.end())
        return wrong_words("--format can't be " + in_quotes(words.format) +
                           hint(words.format, format_words));
    const auto format = static_cast<PathFormat>(word - format_words.begin());
    if (of_file && *of_file != format)
        return wrong_words(fmt::format("{} is no name for --format {}; leave one of them out",
                                       in_quotes(words.output), words.format));
    return format;
}

/// 2 where a take lacks flights of these names.
Expected<Done> check_flights(const Take& take, const std::vector<std::string>& names) {
    for (const std::string& name : names)
        if (!contains(take.flights, name))
            return wrong_words(fmt::format("the take {} has no flight {}{}", in_quotes(take.name),
                                           in_quotes(name), hint(name, take.flights)));
    return Done{};
}

/// The paths of a take's flights, in its order and each once.
Expected<std::vector<PathRecord>> records_of(const Shoot& shoot, const Take& take,
                                             const std::vector<std::string>& names) {
    std::vector<PathRecord> records;
    std::size_t points = 0;
    for (const FlownFlight& flown : flown_flights(shoot, take)) {
        const std::string& name = flown.flight->name;
        const bool wanted = names.empty() || contains(names, name);
        if (!wanted || std::ranges::find(records, name, &PathRecord::name) != records.end())
            continue;
        auto samples = sample_path(flown.path);
        if (samples) points += samples->size();
        if (!samples || points > most_path_points)
            return failure(ExitCode::wrong_scene,
                           fmt::format("with flight {} there are more than {} points, which is the "
                                       "most for a file; leave flights out with --flight",
                                       in_quotes(name), most_path_points));
        const Drone* drone = drone_of(shoot, *flown.flight);
        records.push_back({name, *std::move(samples), drone ? drone->home_m.z : 0.0});
    }
    if (records.empty())
        return failure(
            ExitCode::wrong_scene,
            fmt::format("the take {} has no flight, so there is no path", in_quotes(take.name)));
    return records;
}

std::optional<GeoFrame> frame_of(const Shoot& shoot) {
    if (!shoot.place) return std::nullopt;
    const Place& place = *shoot.place;
    return GeoFrame(place.latitude_deg, place.longitude_deg, place.elevation_m);
}

std::string note_of(const PathWords& words, const std::vector<PathRecord>& records) {
    std::string note;
    std::size_t points = 0;
    for (const PathRecord& record : records) points += record.samples.size();
    if (!words.output.empty())
        note = fmt::format("{} is written: {} flight{}, {} points\n", words.output, records.size(),
                           records.size() == 1 ? "" : "s", points);
    return note + std::string(path_note) + "\n";
}

Outcome run_path(const PathWords& words, const CLI::App& app, const Session& session) {
    auto scene = scene_of(words.scene, app);
    if (!scene) return scene.failure();
    if (words.takes.size() > 1) return wrong_words("path tells of one take; give --take once");
    const auto format = format_of(words);
    if (!format) return format.failure();
    if (!words.output.empty()) scene->outputs = {words.output};
    const auto shoot = open_scene(*scene);
    if (!shoot) return shoot.failure();
    if (const auto known = check_takes(*shoot, words.takes); !known) return known.failure();
    const Take& take =
        words.takes.empty() ? shoot->takes.front() : *find_named(shoot->takes, words.takes.front());
    if (const auto known = check_flights(take, words.flights); !known) return known.failure();
    const std::optional<GeoFrame> frame = frame_of(*shoot);
    if (tells_by_latitude(*format) && !frame)
        return failure(ExitCode::wrong_scene,
                       fmt::format("the scene has no [place]; {} needs its latitude_deg and "
                                   "longitude_deg, and csv does not",
                                   format_words[static_cast<std::size_t>(*format)]));

    const auto records = records_of(*shoot, take, words.flights);
    if (!records) return records.failure();
    const std::string text = path_text(*records, *format, frame, shoot->title).value_or("");
    if (session.stop.stop_requested()) return interruption();
    const std::string note = words.scene.quiet ? "" : note_of(words, *records);
    if (words.output.empty()) return {ExitCode::done, text, note};
    if (const auto written = write_whole_file(words.output, text, session.stop); !written)
        return written.failure();
    return {ExitCode::done, "", note};
}

}  // namespace

RunCommand offer_path(CLI::App& app) {
    const auto words = std::make_shared<PathWords>();
    add_scene_options(app, words->scene);
    add_take_option(app, words->takes, "Take whose flights to write (default: the first)");
    app.add_option("--flight", words->flights, "Only this flight of the take; may be repeated")
        ->option_text("NAME")
        ->allow_extra_args(false);
    add_output_option(app, words->output, "FILE",
                      "File to write: .csv, .geojson, .gpx or .kml (default: standard output)");
    app.add_option("--format", words->format,
                   "csv, geojson, gpx or kml (default: by the file's name, else csv)")
        ->option_text("WORD");
    set_help(app, "lampflight path SCENE [options]",
             "The files are for looking and planning: none of them is a mission for an "
             "autopilot. Local rules and the pilot decide what is flown.\n"
             "Straight ways between the points stay within 2 mm of the path. Times count from the "
             "opening of the shutter.\n"
             "csv has metres from metre 0, with a [place] latitudes as well, and needs none. "
             "Heights are above metre 0 in csv, above sea level in geojson and gpx, above "
             "take-off in kml. gpx tells of no times, speeds and holds; its segments end where "
             "the lamps go off.\n"
             "A flight reads each of them: shape = \"waypoints\", waypoints = \"halo.csv\".\n"
             "\n"
             "Example:\n"
             "  lampflight path my-halo.toml -o halo.csv --flight halo");
    return [&app, words](const Session& session) { return run_path(*words, app, session); };
}

}  // namespace lampflight
