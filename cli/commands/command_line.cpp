#include "cli/commands/command_line.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>
#include <sstream>

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <CLI/CLI.hpp>

#include "cli/commands/offered_words.h"
#include "cli/commands/start_scenes.h"
#include "cli/session/picture_size.h"
#include "cli/session/quality_words.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

template <class Value>
using Parsed = std::variant<Value, Outcome>;

Outcome wrong(const std::string& message) {
    return failure(ExitCode::wrong_command_line, message);
}

std::vector<std::string> command_names(const CLI::App& app) {
    std::vector<std::string> names;
    for (const CLI::App* command : app.get_subcommands({})) names.push_back(command->get_name());
    return names;
}

/// What to say of a word that has no place in the command.
Outcome unexpected(const CLI::App& command, const std::string& word) {
    const std::string help = fmt::format("(lampflight {} --help lists all)", command.get_name());
    if (word.size() < 2 || word.front() != '-')
        return wrong(fmt::format("one word too many: '{}' {}", word, help));
    std::vector<std::string> options;
    for (const CLI::Option* option : command.get_options())
        for (const std::string& name : option->get_lnames()) options.push_back("--" + name);
    const std::string name = word.substr(0, word.find('='));
    return wrong(fmt::format("{} has no option {}{} {}", command.get_name(), name,
                             hint(name, options), help));
}

Parsed<Quality> parse_quality(const std::string& word, Quality otherwise) {
    if (word.empty()) return otherwise;
    if (const auto found = std::ranges::find(quality_words, word); found != quality_words.end())
        return static_cast<Quality>(found - quality_words.begin());
    return wrong(fmt::format("--quality can't be {}{}", in_quotes(word),
                             hint(word, {quality_words.begin(), quality_words.end()})));
}

Parsed<std::vector<Override>> parse_changes(const Words& words) {
    std::vector<Override> overrides;
    for (const std::string& change : words.changes) {
        const std::size_t equals = change.find('=');
        if (equals == std::string::npos || equals == 0)
            return wrong(
                fmt::format("--set {} is not of the form key=value, as in "
                            "--set camera.iso=800",
                            change));
        overrides.push_back({change.substr(0, equals), change.substr(equals + 1)});
    }
    return overrides;
}

Parsed<SceneOptions> parse_scene(const CLI::App& command, const Words& words) {
    if (words.scene.empty())
        return wrong(
            fmt::format("name a scene file, as in 'lampflight {} my-halo.toml'; 'lampflight "
                        "start halo -o my-halo.toml' makes one",
                        command.get_name()));
    auto overrides = parse_changes(words);
    if (auto* failed = std::get_if<Outcome>(&overrides)) return std::move(*failed);
    return SceneOptions{words.scene, std::get<std::vector<Override>>(std::move(overrides))};
}

Parsed<ExposeOptions> parse_exposure(const CLI::App& command, const Words& words,
                                     Quality otherwise) {
    auto scene = parse_scene(command, words);
    if (auto* failed = std::get_if<Outcome>(&scene)) return std::move(*failed);
    const auto quality = parse_quality(words.quality, otherwise);
    if (const auto* failed = std::get_if<Outcome>(&quality)) return *failed;
    ExposeOptions options;
    options.scene = std::get<SceneOptions>(std::move(scene));
    options.settings = {std::get<Quality>(quality), words.bounces};
    options.takes = words.takes;
    options.quiet = words.quiet;
    if (words.size.empty()) return options;
    options.size_px = parse_size(words.size);
    if (!options.size_px)
        return wrong(
            fmt::format("--size can't be '{}'; give width and height in pixels, {} to {}, "
                        "as in --size 960x640",
                        words.size, shortest_side_px, longest_side_px));
    return options;
}

Parsed<CommandLine> start_line(const Words& words) {
    if (words.kind.empty()) {
        std::vector<std::string_view> kinds;
        for (const StartScene& scene : start_scenes()) kinds.push_back(scene.kind);
        return wrong(
            fmt::format("name what to start from: {}; as in 'lampflight start halo -o "
                        "my-halo.toml'",
                        fmt::join(kinds, ", ")));
    }
    return CommandLine{StartOptions{words.kind, words.output, words.replace}, {}};
}

Parsed<CommandLine> check_line(const CLI::App& command, const Words& words) {
    auto scene = parse_scene(command, words);
    if (auto* failed = std::get_if<Outcome>(&scene)) return std::move(*failed);
    return CommandLine{CheckOptions{std::get<SceneOptions>(std::move(scene)), words.json}, {}};
}

Parsed<CommandLine> dusk_line(const CLI::App& command, const Words& words) {
    auto scene = parse_scene(command, words);
    if (auto* failed = std::get_if<Outcome>(&scene)) return std::move(*failed);
    if (words.takes.size() > 1) return wrong("dusk tells of one take; give --take once");
    return CommandLine{
        DuskOptions{std::get<SceneOptions>(std::move(scene)), words.json, words.output,
                    words.takes.empty() ? std::string() : words.takes.front(), words.quiet},
        {}};
}

Parsed<CommandLine> render_line(const CLI::App& command, const Words& words) {
    auto exposure = parse_exposure(command, words, Quality::good);
    if (auto* failed = std::get_if<Outcome>(&exposure)) return std::move(*failed);
    if (words.output.empty())
        return wrong(
            "name the picture to write, as in -o my-halo.png (.tif for 16 bits, .hdr or .exr for "
            "linear light)");
    ExposeOptions options = std::get<ExposeOptions>(std::move(exposure));
    options.longer_side_px = longer_side_px(options.settings.quality);
    if (words.full_float && words.layers.empty())
        return wrong("--float says how layers are written; name their file with --layers");
    return CommandLine{RenderOptions{std::move(options), words.output, words.clean, words.layers,
                                     words.full_float ? SampleType::full : SampleType::half},
                       {}};
}

Parsed<LampChange> parse_lamp_change(const std::string& text) {
    constexpr double most_stops = 20.0;
    const std::size_t equals = text.find('=');
    if (equals != std::string::npos && equals > 0) {
        const std::string value = text.substr(equals + 1);
        if (value == "off") return LampChange{text.substr(0, equals), std::nullopt};
        const std::string number = value.substr(value.starts_with('+') ? 1 : 0);
        double stops = 0.0;
        const auto [end, error] =
            std::from_chars(number.data(), number.data() + number.size(), stops);
        if (error == std::errc() && end == number.data() + number.size() &&
            std::abs(stops) <= most_stops)
            return LampChange{text.substr(0, equals), stops};
    }
    return wrong(
        fmt::format("--lamp can't be {}; give a lamp with stops, -{} to +{}, or off, as "
                    "in --lamp warm=+1.5 or --lamp warm=off",
                    in_quotes(text), most_stops, most_stops));
}

Parsed<CommandLine> retune_line(const Words& words) {
    if (words.scene.empty())
        return wrong(
            "name a file of layers, as in 'lampflight retune my-halo.exr -o iso800.png'; "
            "'lampflight render --layers' makes one");
    if (words.output.empty()) return wrong("name the picture to write, as in -o iso800.png");
    auto changes = parse_changes(words);
    if (auto* failed = std::get_if<Outcome>(&changes)) return std::move(*failed);
    RetuneOptions options;
    options.layers = words.scene;
    options.picture = words.output;
    options.changes = std::get<std::vector<Override>>(std::move(changes));
    options.clean = words.clean;
    options.quiet = words.quiet;
    for (const std::string& text : words.lamps) {
        auto lamp = parse_lamp_change(text);
        if (auto* failed = std::get_if<Outcome>(&lamp)) return std::move(*failed);
        options.lamps.push_back(std::get<LampChange>(std::move(lamp)));
    }
    return CommandLine{std::move(options), {}};
}

Parsed<CommandLine> meter_line(const CLI::App& command, const Words& words) {
    auto exposure = parse_exposure(command, words, Quality::draft);
    if (auto* failed = std::get_if<Outcome>(&exposure)) return std::move(*failed);
    return CommandLine{
        MeterOptions{std::get<ExposeOptions>(std::move(exposure)), words.json, words.overlay}, {}};
}

Parsed<CommandLine> line_of(const CLI::App& command, const Words& words) {
    const std::string name = command.get_name();
    if (name == "start") return start_line(words);
    if (name == "check") return check_line(command, words);
    if (name == "dusk") return dusk_line(command, words);
    if (name == "render") return render_line(command, words);
    if (name == "retune") return retune_line(words);
    if (name == "meter") return meter_line(command, words);
    return CommandLine{KeysOptions{words.table, words.json}, {}};
}

/// Help, or what the parser found wrong.
Outcome outcome_of(const CLI::App& app, const CLI::ParseError& error) {
    std::ostringstream out;
    std::ostringstream notes;
    if (app.exit(error, out, notes) == 0) return {ExitCode::done, out.str(), ""};
    const auto chosen = app.get_subcommands();
    return wrong(fmt::format("{}; see 'lampflight {}--help'", error.what(),
                             chosen.empty() ? "" : chosen.front()->get_name() + " "));
}

}  // namespace

Parsed<CommandLine> parse_command_line(int argc, const char* const* argv) {
    Words words;
    CLI::App app("The long-exposure photograph of a flown lamp, before anyone flies.",
                 "lampflight");
    offer_commands(app, words);
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
        return outcome_of(app, error);
    }
    const auto chosen = app.get_subcommands();
    if (chosen.empty()) {
        const auto extras = app.remaining();
        if (extras.empty()) return Outcome{ExitCode::wrong_command_line, "", app.help()};
        return wrong(fmt::format("there is no command {}{} (lampflight --help lists all)",
                                 in_quotes(extras.front()),
                                 hint(extras.front(), command_names(app))));
    }
    const CLI::App& command = *chosen.front();
    if (!app.remaining().empty()) return unexpected(app, app.remaining().front());
    if (!command.remaining().empty()) return unexpected(command, command.remaining().front());
    auto line = line_of(command, words);
    if (auto* read = std::get_if<CommandLine>(&line); read != nullptr && words.threads > 0)
        read->threads = words.threads;
    return line;
}

}  // namespace lampflight
