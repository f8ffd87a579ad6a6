// Every kind of caution with a scene that raises it and one that does not.
#pragma once

#include <string>
#include <vector>

#include "scene/cautions/cautions.h"

namespace lampflight::testing {

/// Changes to a scene file as `--set` writes them: "camera.iso=800"; "key=" takes a key away.
using Changes = std::vector<std::string>;

/// One kind of caution. `lampflight check tests/cautions/SCENE.toml --set ...` shows the same.
struct CautionRow {
    std::string about;
    CautionLevel level;
    std::string words;               ///< that its text has, and no other kind's
    Changes raised;                  ///< with which the scene raises it
    Changes calm{};                  ///< with which it does not; the scene as it stands without
    std::string scene{"calm"};       ///< that raises it, a file beside this one
    std::string calm_scene{"calm"};  ///< that does not
};

/// A new kind needs one more line.
const std::vector<CautionRow>& caution_rows();

}  // namespace lampflight::testing
