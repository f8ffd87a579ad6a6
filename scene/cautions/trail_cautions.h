// Cautions about the trail in the picture: slower than asked, out of the frame, cut by the shutter.
#pragma once

#include "scene/cautions/cautions.h"
#include "scene/cautions/flown_take.h"

namespace lampflight {

/// Of one take, in no order of gravity.
std::vector<Caution> trail_cautions(const FlownTake& seen);

}  // namespace lampflight
