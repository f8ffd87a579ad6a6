// Words that several commands offer, and how they are read.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/session/expose_scene.h"

namespace CLI {
class App;
}

namespace lampflight {

/// A failure with exit code 2.
Outcome wrong_words(const std::string& message);

void add_json_flag(CLI::App& app, bool& json);
void add_output_option(CLI::App& app, std::string& output, const std::string& kind,
                       const std::string& meaning);
void add_clean_flag(CLI::App& app, bool& clean);

/// "--set KEY=VALUE", any number of them.
void add_changes_option(CLI::App& app, std::vector<std::string>& changes,
                        const std::string& meaning);
Expected<std::vector<Override>> changes_of(const std::vector<std::string>& changes);

void add_take_option(CLI::App& app, std::vector<std::string>& takes, const std::string& meaning);

void add_threads_option(CLI::App& app);
/// Nothing for all that the machine has.
std::optional<std::size_t> threads_asked_for(const CLI::App& app);

/// "--memory GB".
void add_memory_option(CLI::App& app, std::optional<double>& memory_gb);

/// A scene and how it is changed, as written.
struct SceneWords {
    std::string file;
    std::vector<std::string> changes;
    bool quiet = false;
};

/// With `--threads`.
void add_scene_options(CLI::App& app, SceneWords& words);
Expected<SceneOptions> scene_of(const SceneWords& words, const CLI::App& app);

/// How a scene is exposed, as written.
struct ExposureWords {
    SceneWords scene;
    std::string quality, size;
    std::vector<std::string> takes;
    int bounces = RenderSettings{}.bounces;
    std::optional<double> memory_gb{};
};

/// With `--memory`, without those of the scene. `quality` and `size` say what is done when none is
/// asked for.
void add_exposure_options(CLI::App& app, ExposureWords& words, const std::string& quality,
                          const std::string& size);
Expected<ExposeOptions> exposure_of(const ExposureWords& words, const CLI::App& app,
                                    Quality otherwise);

}  // namespace lampflight
