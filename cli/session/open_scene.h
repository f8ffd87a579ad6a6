// From the words on the command line to a valid shoot.
#pragma once

#include <filesystem>
#include <string>
#include <variant>
#include <vector>

#include "cli/session/outcome.h"
#include "scene/reader/read_shoot.h"

namespace lampflight {

struct SceneOptions {
    std::filesystem::path file;
    std::vector<Override> overrides;
};

/// The scene's text, or the failure: 4 when the file can't be read.
std::variant<std::string, Outcome> scene_text_of(const SceneOptions& options);

/// The shoot from that text, or the failure: 3 with all its problems.
std::variant<PlacedShoot, Outcome> shoot_of(const std::string& text, const SceneOptions& options);

/// Both at once. The shoot, or the failure: 4 when the file can't be read, 3 with all its problems.
std::variant<PlacedShoot, Outcome> open_scene(const SceneOptions& options);

}  // namespace lampflight
