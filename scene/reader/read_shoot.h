// The door: a scene's text becomes a valid shoot, or a list of everything that is wrong with it.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "scene/basics/problem.h"
#include "scene/keys/override.h"
#include "scene/shoot/placed_shoot.h"

namespace lampflight {

/// Reads, applies the overrides and checks; opens no mesh. All problems at once, in file order;
/// those of overrides, which have no line, come first. `name` stands for the file in them. Files of
/// waypoints and figures are sought beside it, or taken from `path_files` where those are given.
Checked<Shoot> read_shoot(const std::string& text, const std::filesystem::path& name,
                          const std::vector<Override>& overrides = {},
                          const PathFiles* path_files = nullptr);

/// The same with the subjects' meshes, whose files are sought beside `name`; their problems are
/// told with the others.
Checked<PlacedShoot> read_placed_shoot(const std::string& text, const std::filesystem::path& name,
                                       const std::vector<Override>& overrides = {});

}  // namespace lampflight
