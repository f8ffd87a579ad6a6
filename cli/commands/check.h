// `lampflight check`: is the shoot sound, and what are its numbers.
#pragma once

#include "cli/session/open_scene.h"

namespace lampflight {

struct CheckOptions {
    SceneOptions scene;
    bool json = false;
};

Outcome run_check(const CheckOptions& options);

}  // namespace lampflight
