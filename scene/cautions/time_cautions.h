// Cautions about time: light and people that miss the shutter, and flashes that harm.
#pragma once

#include <vector>

#include "scene/cautions/cautions.h"

namespace lampflight {

/// Of a whole shoot, in no order of gravity.
std::vector<Caution> time_cautions(const Shoot& shoot);

}  // namespace lampflight
