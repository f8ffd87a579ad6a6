// `lampflight start`: a commented scene to begin from.
#include <algorithm>
#include <array>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <CLI/CLI.hpp>

#include "cli/commands/commands.h"
#include "cli/commands/help_page.h"
#include "cli/commands/shared_options.h"
#include "cli/session/outputs.h"
#include "cli/session/whole_file.h"
#include "scene/basics/wording.h"

namespace lampflight {

// The files of scenes/start, made part of the program.
std::string_view halo_scene();
std::string_view ring_scene();
std::string_view helix_scene();
std::string_view sweep_scene();
std::string_view figure_scene();
std::string_view waypoints_scene();
std::string_view heart_svg();
std::string_view steps_csv();

namespace {

/// A file that a scene names and that lies beside it.
struct StartFile {
    std::string_view name;
    std::string_view (*text)() = nullptr;
};

struct StartScene {
    std::string_view kind;     ///< the word on the command line
    std::string_view meaning;  ///< one line of help
    std::string_view (*text)();
    StartFile beside{};  ///< without a text for none
};

constexpr std::array<StartScene, 6> start_scenes{{
    {"halo", "a level halo above a walker at dusk", halo_scene},
    {"ring", "a tilted ring about a ruined arch", ring_scene},
    {"helix", "a spiral of light that climbs about a standing stone", helix_scene},
    {"sweep", "two straight flights that paint a boulder and the ground", sweep_scene},
    {"figure", "a heart in the sky, drawn from an SVG file", figure_scene, {"heart.svg", heart_svg}},
    {"waypoints",
     "a broken line from point to point, from a CSV file",
     waypoints_scene,
     {"steps.csv", steps_csv}},
}};

struct StartWords {
    std::string kind;
    std::string output;  ///< empty for standard output
    bool replace = false;
};

std::vector<std::string> start_kinds() {
    std::vector<std::string> kinds;
    for (const StartScene& scene : start_scenes) kinds.emplace_back(scene.kind);
    return kinds;
}

/// The scene, and what lies beside it.
std::vector<std::pair<std::filesystem::path, std::string_view>> files_of(const StartScene& scene,
                                                                         const std::string& output) {
    const std::filesystem::path file = output;
    std::vector<std::pair<std::filesystem::path, std::string_view>> files;
    if (scene.beside.text)
        files.emplace_back(file.parent_path() / scene.beside.name, scene.beside.text());
    files.emplace_back(file, scene.text());
    return files;
}

Outcome write_scene(const StartScene& scene, const StartWords& words, const Session& session) {
    const auto files = files_of(scene, words.output);
    if (scene.beside.text && std::filesystem::path(words.output).filename() == scene.beside.name)
        return wrong_words(fmt::format("{} is what lies beside the scene; give the scene itself "
                                       "another name, such as my-{}.toml",
                                       in_quotes(std::string(scene.beside.name)), scene.kind));
    std::vector<std::filesystem::path> outputs;
    for (const auto& [file, text] : files) outputs.push_back(file);
    if (const auto fit = check_outputs(outputs); !fit) return fit.failure();
    for (const auto& [file, text] : files) {
        std::error_code error;
        if (!words.replace && std::filesystem::exists(file, error))
            return failure(ExitCode::file_trouble,
                           file.string() + " is there already; add --replace to write over it");
    }
    for (const auto& [file, text] : files)
        if (const auto written = write_whole_file(file, text, session.stop); !written)
            return written.failure();
    return {ExitCode::done, "",
            fmt::format("{0} is written; see it with 'lampflight check {0}'\n", words.output)};
}

Outcome run_start(const StartWords& words, const Session& session) {
    if (words.kind.empty())
        return wrong_words(
            fmt::format("name what to start from: {}; as in 'lampflight start halo -o "
                        "my-halo.toml'",
                        fmt::join(start_kinds(), ", ")));
    const auto* const scene = std::ranges::find(start_scenes, words.kind, &StartScene::kind);
    if (scene == start_scenes.end())
        return wrong_words("there is no scene " + in_quotes(words.kind) + " to start from" +
                           hint(words.kind, start_kinds()));
    if (words.output.empty())
        return {ExitCode::done, std::string(scene->text()),
                scene->beside.text
                    ? fmt::format("It needs {} beside it; with -o both are written.\n",
                                  scene->beside.name)
                    : ""};
    return write_scene(*scene, words, session);
}

}  // namespace

RunCommand offer_start(CLI::App& app) {
    const auto words = std::make_shared<StartWords>();
    std::string kinds;
    for (const StartScene& scene : start_scenes)
        kinds += fmt::format("  {:<12}{}\n", scene.kind, scene.meaning);
    app.add_option("KIND", words->kind, "What to begin from; see below")->option_text(" ");
    add_output_option(app, words->output, "FILE", "Write to this file, not to standard output");
    app.add_flag("--replace", words->replace, "Write over a file that is there already");
    set_help(app, "lampflight start KIND [options]",
             fmt::format("Kinds:\n{}\nExample:\n  lampflight start halo -o my-halo.toml", kinds));
    return [words](const Session& session) { return run_start(*words, session); };
}

}  // namespace lampflight
