// Cautions about time: light and people that miss the shutter, and flashes that harm.
#pragma once

#include "scene/cautions/cautions.h"
#include "scene/cautions/flown_take.h"

namespace lampflight {

/// Of a whole shoot with its takes, in no order of gravity.
std::vector<Caution> time_cautions(const Shoot& shoot, const std::vector<FlownTake>& takes);

}  // namespace lampflight
