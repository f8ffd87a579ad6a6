// Cautions about safety: people and things near a flight or under it, heights, lamps in eyes.
#pragma once

#include "scene/cautions/cautions.h"
#include "scene/cautions/flown_take.h"

namespace lampflight {

/// Of one take, in no order of gravity.
std::vector<Caution> safety_cautions(const FlownTake& seen);

}  // namespace lampflight
