// `--set key=value`: changes to a scene file's tree before it is read.
#pragma once

#include <vector>

#include "scene/basics/problem.h"
#include "scene/keys/override.h"
#include "scene/reader/scene_text.h"

namespace lampflight {

/// Puts the overrides into the tree in their order; the last of a key wins. The values know the
/// override as their place, so what is wrong with them is told of `--set key=value`. Returns what
/// is wrong with the keys as far as tables and names go; unknown keys are left to the reader.
std::vector<Problem> apply_overrides(SceneTable& file, const std::vector<Override>& overrides);

}  // namespace lampflight
