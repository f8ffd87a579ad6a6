// Line widths: the thickest and the thinnest place of each trail as it shows in the photograph.
//
// A trail is looked at by itself (trail_screen.h), so that a burnt wall behind it is not its width,
// and is cut across its course at places all along it. A cut's width is the full width at half of
// white, or at half of its own brightest where it doesn't come up to white, of the strongest colour
// on the screen. A place counts only where the line is whole and alone:
//  - it runs on, seen, for a width to either side and stays a width from the frame's edge. It ends
//    where the lamp is dark, hidden, or turned so far away that it leaves ten stops less than at
//    its brightest;
//  - it doesn't turn by more than about a right angle within a width, as at the tip of a narrow
//    ellipse, or in a stretch along the line of sight that the course leaves where it came from;
//  - no other part of its course lies in the cut or within half a width of it: where turns of a
//    helix cross or run into each other, there is no width of a line. Laps over one another on one
//    line are one line.
// More light widens every cut, and leaves fewer that count near ends and crossings. So that it
// never makes the thickest place thinner, a place that doesn't count stands with the width that it
// has by fewer stops of light, as soon as it counts.
#pragma once

#include <vector>

#include "renderer/lens/point_spread.h"
#include "renderer/meter/meter.h"

namespace lampflight {

/// Takes in their order, in each its lamps that fly and leave light on the film. `spreads` are the
/// camera's.
std::vector<LineWidths> line_widths(const Shoot& shoot, const std::vector<ExposedTake>& takes,
                                    PointSpreads& spreads);

}  // namespace lampflight
