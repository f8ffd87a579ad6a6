// The scale of an exposure overlay.
#pragma once

#include "cli/drawing/canvas.h"
#include "cli/sheets/overlay_sizes.h"
#include "renderer/meter/meter.h"

namespace lampflight {

/// Draws the band below the photograph: what the picture is, every step's colour with its share of
/// the photograph, and the stops where one goes over into the next.
void draw_scale(Canvas& canvas, const OverlaySizes& sizes, const Shoot& shoot,
                const MeterReading& reading);

/// Hatching that tells black and burnt apart from any colour: whether a pixel is on a stroke.
bool on_black_stroke(const OverlaySizes& sizes, int x, int y);
bool on_burnt_stroke(const OverlaySizes& sizes, int x, int y);

constexpr Colour8 black_stroke{74, 74, 84};
constexpr Colour8 burnt_stroke{120, 120, 120};
constexpr Colour8 outline{0, 0, 0};

}  // namespace lampflight
