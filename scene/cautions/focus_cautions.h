// Cautions about focus: subjects and trails that the lens draws visibly blurred.
#pragma once

#include "scene/cautions/cautions.h"
#include "scene/cautions/flown_take.h"

namespace lampflight {

/// Of one take, in no order of gravity.
std::vector<Caution> focus_cautions(const FlownTake& seen);

}  // namespace lampflight
