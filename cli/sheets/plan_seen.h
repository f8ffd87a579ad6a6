// The flights as the camera sees them, small: a sketch of the way round.
#pragma once

#include "cli/drawing/canvas.h"
#include "cli/drawing/svg_page.h"
#include "cli/sheets/plan_facts.h"

namespace lampflight {

/// As large as fits into the room, with arrows and a start on each; nothing of what lies behind.
void draw_seen(SvgPage& page, const PixelBox& room, const PlanFacts& facts, const Camera& camera);

}  // namespace lampflight
