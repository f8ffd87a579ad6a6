// From the words on the command line to a valid shoot.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "cli/session/expected.h"
#include "scene/reader/read_shoot.h"

namespace lampflight {

struct SceneOptions {
    std::filesystem::path file;
    std::vector<Override> overrides;
    /// What the command will write: refused before any work where it can't be, or where it is one
    /// of the files that the scene is made from.
    std::vector<std::filesystem::path> outputs{};
};

/// The scene's text, or the failure: 4 when the file can't be read or an output can't be written, 3
/// when it is of another kind, 2 when it is an output.
Expected<std::string> scene_text_of(const SceneOptions& options);

/// The shoot from that text, or the failure: 3 with all its problems, 2 when an output is one of
/// its files.
Expected<PlacedShoot> shoot_of(const std::string& text, const SceneOptions& options);

/// Both at once.
Expected<PlacedShoot> open_scene(const SceneOptions& options);

/// The failure of a scene that is wrong: its problems with their lines of its text, and their
/// count.
Outcome wrong_scene(const std::vector<Problem>& problems, const std::string& text);

/// 2 where the shoot lacks a take of these names, with the nearest that it has.
Expected<Done> check_takes(const Shoot& shoot, const std::vector<std::string>& names);

}  // namespace lampflight
