#include "cli/command_line.h"

#include <algorithm>
#include <map>
#include <memory>
#include <sstream>

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <CLI/CLI.hpp>

#include "cli/picture_size.h"
#include "cli/start_scenes.h"
#include "cli/table.h"
#include "scene/wording.h"

namespace lampflight {
namespace {

/// Everything that may stand on the command line, as it was written.
struct Words {
    std::string kind, scene, output, quality, size, table;
    std::vector<std::string> changes, takes;
    int bounces = RenderSettings{}.bounces;
    int threads = 0;  // 0: not given
    bool json = false, quiet = false, replace = false;
};

template <class Value>
using Parsed = std::variant<Value, Outcome>;

Outcome wrong(const std::string& message) {
    return failure(ExitCode::wrong_command_line, message);
}

/// Usage lines of our own: which words must stand and in which order.
class HelpPage : public CLI::Formatter {
public:
    explicit HelpPage(std::string usage) : usage_(std::move(usage)) {
        column_width(24);
        label("Positionals", "Words");
    }

    std::string make_usage(const CLI::App*, std::string) const override {
        return fmt::format("Use: {}\n", usage_);
    }

    std::string make_option_desc(const CLI::Option* option) const override {
        constexpr std::size_t width = 74;
        return fmt::format("{}", fmt::join(wrapped(option->get_description(), width), "\n"));
    }

private:
    std::string usage_;
};

void set_help(CLI::App& app, const std::string& usage, const std::string& footer) {
    app.formatter(std::make_shared<HelpPage>(usage));
    app.group("Commands");
    app.set_help_flag("-h,--help", "This page");
    app.footer(footer);
    // Unknown words are reported here, with the nearest right word.
    app.allow_extras();
}

void add_scene_options(CLI::App& command, Words& words) {
    command.add_option("SCENE", words.scene, "Scene file (TOML; 'lampflight keys' lists its keys)")
        ->option_text(" ");
    command
        .add_option("--set", words.changes,
                    "Try a change without touching the file; may be repeated, as in "
                    "--set camera.iso=800 --set flight.halo.radius_m=7")
        ->option_text("KEY=VALUE")
        ->allow_extra_args(false);
    command.add_option("--threads", words.threads, "Threads to work with, 1 to 256 (default: all)")
        ->option_text("N")
        ->check(CLI::Range(1, 256));
    command.add_flag("--quiet", words.quiet, "Nothing but figures and errors");
}

void add_exposure_options(CLI::App& command, Words& words, const std::string& quality,
                          const std::string& size) {
    command
        .add_option(
            "--quality", words.quality,
            "draft, good or fine: the same light to a smaller error (default: " + quality + ")")
        ->option_text("WORD");
    command
        .add_option("--size", words.size, "Pixels, in the frame's shape (default: " + size + ")")
        ->option_text("WxH");
    command
        .add_option("--take", words.takes,
                    "Only this take; may be repeated (default: the photograph's)")
        ->option_text("NAME")
        ->allow_extra_args(false);
    command
        .add_option("--bounces", words.bounces,
                    "Times that light goes on from surface to surface, 0 to 8 (default: 1)")
        ->option_text("N")
        ->check(CLI::Range(0, 8));
}

void add_json_flag(CLI::App& command, Words& words) {
    command.add_flag("--json", words.json, "As JSON, for other programs");
}

void add_start(CLI::App& app, Words& words) {
    CLI::App* command = app.add_subcommand("start", "Print a commented scene to begin from");
    std::string kinds;
    for (const StartScene& scene : start_scenes())
        kinds += fmt::format("  {:<12}{}\n", scene.kind, scene.meaning);
    command->add_option("KIND", words.kind, "What to begin from; see below")->option_text(" ");
    command->add_option("-o,--output", words.output, "Write to this file, not to standard output")
        ->option_text("FILE");
    command->add_flag("--replace", words.replace, "Write over a file that is there already");
    set_help(*command, "lampflight start KIND [options]",
             fmt::format("Kinds:\n{}\nExample: lampflight start halo -o my-halo.toml", kinds));
}

void add_check(CLI::App& app, Words& words) {
    CLI::App* command = app.add_subcommand("check", "Is the shoot sound? Its figures and cautions");
    add_scene_options(*command, words);
    add_json_flag(*command, words);
    set_help(*command, "lampflight check SCENE [options]",
             "Example: lampflight check my-halo.toml --set flight.halo.radius_m=7");
}

void add_render(CLI::App& app, Words& words) {
    CLI::App* command = app.add_subcommand("render", "Make the photograph");
    add_scene_options(*command, words);
    command
        ->add_option("-o,--output", words.output,
                     "Picture to write: .png as developed, or .hdr with the blended film's linear "
                     "light, where mid-grey is 1")
        ->option_text("PICTURE");
    add_exposure_options(*command, words, "good",
                         "longer side 960 for a draft, 1500 for good, the sensor's own for fine");
    set_help(*command, "lampflight render SCENE -o PICTURE [options]",
             "Example: lampflight render my-halo.toml -o my-halo.png --quality draft");
}

void add_meter(CLI::App& app, Words& words) {
    CLI::App* command =
        app.add_subcommand("meter", "Exposure at the scene's points, in stops from mid-grey");
    add_scene_options(*command, words);
    add_json_flag(*command, words);
    add_exposure_options(*command, words, "draft", "longer side 960");
    set_help(*command, "lampflight meter SCENE [options]",
             "Example: lampflight meter my-halo.toml --set camera.iso=800");
}

void add_keys(CLI::App& app, Words& words) {
    CLI::App* command = app.add_subcommand("keys", "List all that a scene file may hold");
    command->add_option("TABLE", words.table, "Only this table: camera, lamp, flight and so on")
        ->option_text(" ");
    add_json_flag(*command, words);
    set_help(*command, "lampflight keys [TABLE] [options]", "Example: lampflight keys flight");
}

void add_commands(CLI::App& app, Words& words) {
    app.require_subcommand(0, 1);
    set_help(app, "lampflight COMMAND ...",
             "Example: lampflight start halo -o my-halo.toml\n"
             "         lampflight check my-halo.toml\n"
             "         lampflight render my-halo.toml -o my-halo.png\n"
             "'lampflight COMMAND --help' tells more of each.\n"
             "Ends with 0 when done, 2 when the command line is wrong, 3 when the scene is wrong,\n"
             "4 when a file can't be read or written, 130 when interrupted.");
    add_start(app, words);
    add_check(app, words);
    add_render(app, words);
    add_meter(app, words);
    add_keys(app, words);
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
    const std::map<std::string, Quality> qualities{
        {"draft", Quality::draft}, {"good", Quality::good}, {"fine", Quality::fine}};
    if (const auto found = qualities.find(word); found != qualities.end()) return found->second;
    return wrong(fmt::format("--quality can't be {}{}", in_quotes(word),
                             hint(word, {"draft", "good", "fine"})));
}

Parsed<SceneOptions> parse_scene(const CLI::App& command, const Words& words) {
    if (words.scene.empty())
        return wrong(
            fmt::format("name a scene file, as in 'lampflight {} my-halo.toml'; 'lampflight "
                        "start halo -o my-halo.toml' makes one",
                        command.get_name()));
    SceneOptions scene{words.scene, {}};
    for (const std::string& change : words.changes) {
        const std::size_t equals = change.find('=');
        if (equals == std::string::npos || equals == 0)
            return wrong(
                fmt::format("--set {} is not of the form key=value, as in "
                            "--set camera.iso=800",
                            change));
        scene.overrides.push_back({change.substr(0, equals), change.substr(equals + 1)});
    }
    return scene;
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

Parsed<CommandLine> render_line(const CLI::App& command, const Words& words) {
    auto exposure = parse_exposure(command, words, Quality::good);
    if (auto* failed = std::get_if<Outcome>(&exposure)) return std::move(*failed);
    if (words.output.empty())
        return wrong("name the picture to write, as in -o my-halo.png (or .hdr for linear light)");
    ExposeOptions options = std::get<ExposeOptions>(std::move(exposure));
    options.longer_side_px = longer_side_px(options.settings.quality);
    return CommandLine{RenderOptions{std::move(options), words.output}, {}};
}

Parsed<CommandLine> meter_line(const CLI::App& command, const Words& words) {
    auto exposure = parse_exposure(command, words, Quality::draft);
    if (auto* failed = std::get_if<Outcome>(&exposure)) return std::move(*failed);
    return CommandLine{MeterOptions{std::get<ExposeOptions>(std::move(exposure)), words.json}, {}};
}

Parsed<CommandLine> line_of(const CLI::App& command, const Words& words) {
    const std::string name = command.get_name();
    if (name == "start") return start_line(words);
    if (name == "check") return check_line(command, words);
    if (name == "render") return render_line(command, words);
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
    add_commands(app, words);
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
