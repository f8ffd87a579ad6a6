// What is marked on an exposure overlay: metered points, and where trails are brightest.
#pragma once

#include "cli/drawing/canvas.h"
#include "cli/sheets/overlay_sizes.h"
#include "renderer/meter/meter.h"

namespace lampflight {

/// A ring for each point in the frame, a diamond for each trail; words beside them where there is
/// room, with a line to the mark where they stand apart.
void draw_marks(Canvas& canvas, const OverlaySizes& sizes, const MeterReading& reading);

}  // namespace lampflight
