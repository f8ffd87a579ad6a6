// `lampflight dusk`: how sky and ground darken over an evening, at the scene's settings.
#pragma once

#include <filesystem>
#include <string>

#include "cli/session/open_scene.h"

namespace lampflight {

struct DuskOptions {
    SceneOptions scene;
    bool json = false;
    std::filesystem::path plot;  ///< empty for none
    std::string take;            ///< empty for the first
    bool quiet = false;
};

/// Figures to standard output, the plot to its file; with a plot and without JSON the minutes are
/// left out. A scene without a place is refused with exit code 3, a take that is not there or a
/// plot of another kind with 2.
Outcome run_dusk(const DuskOptions& options, const Session& session);

}  // namespace lampflight
