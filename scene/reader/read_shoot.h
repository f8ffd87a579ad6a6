// The door: a scene file becomes a valid Shoot, or a list of everything that is wrong with it.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "scene/basics/problem.h"
#include "scene/keys/override.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

/// Reads, applies the overrides, checks, and loads meshes. All problems at once, in file order.
Checked<Shoot> read_shoot(const std::filesystem::path& file,
                          const std::vector<Override>& overrides = {});

/// The same from text; `name` stands for the file in messages, meshes are sought beside it.
Checked<Shoot> read_shoot_text(const std::string& text, const std::filesystem::path& name,
                               const std::vector<Override>& overrides = {});

}  // namespace lampflight
