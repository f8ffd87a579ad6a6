// Cautions about focus: subjects and trails that the lens draws visibly blurred.
#pragma once

#include <vector>

#include "scene/cautions/cautions.h"

namespace lampflight {

/// Of a whole shoot, in no order of gravity.
std::vector<Caution> focus_cautions(const PlacedShoot& shoot);

}  // namespace lampflight
