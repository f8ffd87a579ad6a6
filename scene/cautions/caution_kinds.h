// The kinds of cautions, in no order of gravity.
#pragma once

#include "scene/cautions/cautions.h"
#include "scene/cautions/flown_take.h"

namespace lampflight {

/// Safety: people and things near a flight or under it, heights, lamps in eyes.
std::vector<Caution> safety_cautions(const FlownTake& seen);

/// The trail in the picture: slower than asked, out of the frame, cut by the shutter.
std::vector<Caution> trail_cautions(const FlownTake& seen);

/// Focus: subjects and trails that the lens draws visibly blurred.
std::vector<Caution> focus_cautions(const FlownTake& seen);

/// Time: light and people that miss the shutter, and flashes that harm.
std::vector<Caution> time_cautions(const Shoot& shoot, const std::vector<FlownTake>& takes);

/// Shadow: what sun or moon, low behind the camera, cast of whoever stands there; none without a
/// place.
std::vector<Caution> shadow_cautions(const Shoot& shoot);

}  // namespace lampflight
