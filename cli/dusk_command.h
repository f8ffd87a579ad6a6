// `lampflight dusk`: how the sky darkens over an evening, at the scene's settings.
#pragma once

#include "cli/open_scene.h"
#include "scene/dusk.h"

namespace lampflight {

struct DuskOptions {
    SceneOptions scene;
    bool json = false;
};

/// Of the first take. A scene without a place is refused with exit code 3.
Outcome run_dusk(const DuskOptions& options);

/// A table to read; the clock is that of `offset_min` east of Greenwich.
std::string dusk_text(const Dusk& dusk, int offset_min);

/// One JSON object, ending in a newline. Names are a contract: added to, never renamed.
std::string dusk_json(const Dusk& dusk, int offset_min);

}  // namespace lampflight
