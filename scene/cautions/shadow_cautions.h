// Cautions about the shadow that sun or moon, low behind the camera, casts of whoever stands there.
#pragma once

#include <vector>

#include "scene/cautions/cautions.h"

namespace lampflight {

/// Of a whole shoot, in no order of gravity; none without a place.
std::vector<Caution> shadow_cautions(const Shoot& shoot);

}  // namespace lampflight
