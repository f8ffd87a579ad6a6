#include "cli/commands/offered_words.h"

#include <memory>

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <CLI/CLI.hpp>

#include "cli/commands/start_scenes.h"
#include "cli/reports/table.h"

namespace lampflight {
namespace {

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
    // Unknown words are reported by our own door, with the nearest right word.
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

void add_dusk(CLI::App& app, Words& words) {
    CLI::App* command =
        app.add_subcommand("dusk", "How the light goes over the evening, minute by minute");
    add_scene_options(*command, words);
    add_json_flag(*command, words);
    command
        ->add_option("-o,--output", words.output,
                     "Plot to write, .svg; the minutes are then left out of the table")
        ->option_text("PLOT");
    command
        ->add_option("--take", words.takes,
                     "Take whose settings and lamps to tell of (default: the first)")
        ->option_text("NAME")
        ->allow_extra_args(false);
    set_help(
        *command, "lampflight dusk SCENE [options]",
        "All stops are from mid-grey, at the take's settings.\n"
        "Sky: mean of the frame above a level horizon as the film gets it, of the sky that\n"
        "render shows, without discs and stars.\n"
        "Ground: a square metre of open, level ground, where the take's lamps light it most in\n"
        "the frame, without and with them.\n"
        "Window: the time in which the sky is within half a stop of sky.want_stops.\n"
        "A moment past the middle of the night shows the morning instead.\n\n"
        "Example: lampflight dusk my-halo.toml -o dusk.svg --set sky.want_stops=-2");
}

void add_render(CLI::App& app, Words& words) {
    CLI::App* command = app.add_subcommand("render", "Make the photograph");
    add_scene_options(*command, words);
    command
        ->add_option("-o,--output", words.output,
                     "Picture to write: .png as developed, .tif the same in 16 bits to finish "
                     "elsewhere, .hdr or .exr with the same in linear light, where mid-grey is 1")
        ->option_text("PICTURE");
    command->add_flag("--clean", words.clean, "Leave the sensor's noise out");
    command
        ->add_option("--layers", words.layers,
                     "Also write the light of every lamp and of the sky as an OpenEXR file, for "
                     "'lampflight retune' and other programs")
        ->option_text("FILE.exr");
    command->add_flag("--float", words.full_float,
                      "Layers to the last bit, in twice the space; else in half floats");
    add_exposure_options(*command, words, "good",
                         "longer side 960 for a draft, 1500 for good, the sensor's own for fine");
    set_help(*command, "lampflight render SCENE -o PICTURE [options]",
             "Example: lampflight render my-halo.toml -o my-halo.png --quality draft\n"
             "         lampflight render my-halo.toml -o my-halo.png --layers my-halo.exr");
}

void add_retune(CLI::App& app, Words& words) {
    CLI::App* command =
        app.add_subcommand("retune", "Develop a render's layers anew, with other settings");
    command->add_option("FILE", words.scene, "Layers that 'lampflight render --layers' wrote")
        ->option_text(" ");
    command->add_option("-o,--output", words.output, "Picture to write, as for render")
        ->option_text("PICTURE");
    command
        ->add_option(
            "--set", words.changes,
            "Change a key of the scene; may be repeated. ISO, f-number, white balance, "
            "sensor, the lens's glare, lamps' lumens, temperature and gel, a sky "
            "without a [place], takes and their blend can be retuned; others need a render")
        ->option_text("KEY=VALUE")
        ->allow_extra_args(false);
    command
        ->add_option("--lamp", words.lamps,
                     "A lamp so many stops stronger or weaker, or off, in all takes; may be "
                     "repeated")
        ->option_text("NAME=STOPS")
        ->allow_extra_args(false);
    command->add_flag("--clean", words.clean, "Leave the sensor's noise out");
    command->add_option("--threads", words.threads, "Threads to work with, 1 to 256 (default: all)")
        ->option_text("N")
        ->check(CLI::Range(1, 256));
    command->add_flag("--quiet", words.quiet, "Nothing but errors");
    set_help(*command, "lampflight retune FILE -o PICTURE [options]",
             "Example: lampflight retune my-halo.exr -o iso800.png --set camera.iso=800\n"
             "         lampflight retune my-halo.exr -o gold.png --lamp warm=+1.5 --lamp cold=off\n"
             "         lampflight retune my-halo.exr -o f8.png --set camera.f_number=8 --set "
             "photograph.blend=add");
}

void add_meter(CLI::App& app, Words& words) {
    CLI::App* command =
        app.add_subcommand("meter", "Exposure at the scene's points, in stops from mid-grey");
    add_scene_options(*command, words);
    add_json_flag(*command, words);
    command
        ->add_option(
            "--overlay", words.overlay,
            "Write the photograph's exposure as a picture as well, a colour for each stop, "
            "with scale, points and trails")
        ->option_text("PICTURE.png");
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

}  // namespace

void offer_commands(CLI::App& app, Words& words) {
    app.require_subcommand(0, 1);
    set_help(app, "lampflight COMMAND ...",
             "Example: lampflight start halo -o my-halo.toml\n"
             "         lampflight check my-halo.toml\n"
             "         lampflight render my-halo.toml -o my-halo.png\n"
             "'lampflight COMMAND --help' tells more of each.\n"
             "Ends with 0 when done, 2 when the command line is wrong, 3 when the scene is wrong,\n"
             "4 when a file can't be read or written, 130 when interrupted; 1 is a fault in the\n"
             "program itself, or too little memory.");
    add_start(app, words);
    add_check(app, words);
    add_dusk(app, words);
    add_render(app, words);
    add_retune(app, words);
    add_meter(app, words);
    add_keys(app, words);
}

}  // namespace lampflight
