#include "cli/commands/shared_options.h"

#include <algorithm>

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include "cli/session/picture_size.h"
#include "cli/session/quality_words.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

Expected<Quality> quality_of(const std::string& word, Quality otherwise) {
    if (word.empty()) return otherwise;
    if (const auto found = std::ranges::find(quality_words, word); found != quality_words.end())
        return static_cast<Quality>(found - quality_words.begin());
    return wrong_words(fmt::format("--quality can't be {}{}", in_quotes(word),
                                   hint(word, {quality_words.begin(), quality_words.end()})));
}

}  // namespace

Outcome wrong_words(const std::string& message) {
    return failure(ExitCode::wrong_command_line, message);
}

void add_json_flag(CLI::App& app, bool& json) {
    app.add_flag("--json", json, "As JSON, for other programs");
}

void add_output_option(CLI::App& app, std::string& output, const std::string& kind,
                       const std::string& meaning) {
    app.add_option("-o,--output", output, meaning)->option_text(kind);
}

void add_clean_flag(CLI::App& app, bool& clean) {
    app.add_flag("--clean", clean, "Leave the sensor's noise out");
}

void add_changes_option(CLI::App& app, std::vector<std::string>& changes,
                        const std::string& meaning) {
    app.add_option("--set", changes, meaning)->option_text("KEY=VALUE")->allow_extra_args(false);
}

Expected<std::vector<Override>> changes_of(const std::vector<std::string>& changes) {
    std::vector<Override> overrides;
    for (const std::string& change : changes) {
        const std::size_t equals = change.find('=');
        if (equals == std::string::npos || equals == 0)
            return wrong_words(
                fmt::format("--set {} is not of the form key=value, as in "
                            "--set camera.iso=800",
                            change));
        overrides.push_back({change.substr(0, equals), change.substr(equals + 1)});
    }
    return overrides;
}

void add_take_option(CLI::App& app, std::vector<std::string>& takes, const std::string& meaning) {
    app.add_option("--take", takes, meaning)->option_text("NAME")->allow_extra_args(false);
}

void add_threads_option(CLI::App& app) {
    app.add_option("--threads", "Threads to work with, 1 to 256 (default: all)")
        ->type_name("INT")
        ->option_text("N")
        ->check(CLI::Range(1, 256));
}

void add_memory_option(CLI::App& app, std::optional<double>& memory_gb) {
    app.add_option("--memory", memory_gb,
                   "Gigabytes that may be taken; a command that would need more says so and does "
                   "not begin (default: what the machine has)")
        ->option_text("GB")
        ->check(CLI::Range(0.001, 1e6));
}

std::optional<std::size_t> threads_asked_for(const CLI::App& app) {
    const CLI::Option* const option = app.get_option_no_throw("--threads");
    if (option == nullptr || option->count() == 0) return std::nullopt;
    return option->as<std::size_t>();
}

void add_scene_options(CLI::App& app, SceneWords& words) {
    app.add_option("SCENE", words.file, "Scene file (TOML; 'lampflight keys' lists its keys)")
        ->option_text(" ");
    add_changes_option(app, words.changes,
                       "Try a change without touching the file; may be repeated, as in "
                       "--set camera.iso=800 --set flight.halo.radius_m=7");
    add_threads_option(app);
    app.add_flag("--quiet", words.quiet, "Nothing but figures and errors");
}

Expected<SceneOptions> scene_of(const SceneWords& words, const CLI::App& app) {
    if (words.file.empty())
        return wrong_words(
            fmt::format("name a scene file, as in 'lampflight {} my-halo.toml'; 'lampflight "
                        "start halo -o my-halo.toml' makes one",
                        app.get_name()));
    auto overrides = changes_of(words.changes);
    if (!overrides) return overrides.failure();
    return SceneOptions{words.file, *std::move(overrides)};
}

void add_exposure_options(CLI::App& app, ExposureWords& words, const std::string& quality,
                          const std::string& size) {
    app.add_option(
           "--quality", words.quality,
           "draft, good or fine: the same light to a smaller error (default: " + quality + ")")
        ->option_text("WORD");
    app.add_option("--size", words.size, "Pixels, in the frame's shape (default: " + size + ")")
        ->option_text("WxH");
    add_take_option(app, words.takes,
                    "Only this take; may be repeated (default: the photograph's)");
    app.add_option("--bounces", words.bounces,
                   "Times that light goes on from surface to surface, 0 to 8 (default: 1)")
        ->option_text("N")
        ->check(CLI::Range(0, 8));
    add_memory_option(app, words.memory_gb);
}

Expected<ExposeOptions> exposure_of(const ExposureWords& words, const CLI::App& app,
                                    Quality otherwise) {
    auto scene = scene_of(words.scene, app);
    if (!scene) return scene.failure();
    const auto quality = quality_of(words.quality, otherwise);
    if (!quality) return quality.failure();
    ExposeOptions options;
    options.scene = *std::move(scene);
    options.settings = {*quality, words.bounces};
    options.takes = words.takes;
    options.quiet = words.scene.quiet;
    options.memory_gb = words.memory_gb;
    if (words.size.empty()) return options;
    options.size_px = parse_size(words.size);
    if (!options.size_px)
        return wrong_words(
            fmt::format("--size can't be '{}'; give width and height in pixels, {} to {}, "
                        "as in --size 960x640",
                        words.size, shortest_side_px, longest_side_px));
    return options;
}

}  // namespace lampflight
