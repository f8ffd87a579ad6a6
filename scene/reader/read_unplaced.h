// All of a shoot but the meshes: read, changed by overrides and checked.
#pragma once

#include <string>
#include <vector>

#include "scene/reader/read_shoot.h"
#include "scene/reader/read_tables.h"

namespace lampflight {

/// Reads a scene's text as `read_shoot_text` does and stops before the meshes. Problems are in file
/// order; those of overrides, which have no line, come first.
Reading read_unplaced(const std::string& text, const std::string& name,
                      const std::vector<Override>& overrides = {});

}  // namespace lampflight
