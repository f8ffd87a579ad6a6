// Lines on the page: their length, places along them, and arrows.
#pragma once

#include <utility>
#include <vector>

#include "cli/drawing/svg_page.h"

namespace lampflight {

double length_of_line(const std::vector<Vec2>& line);

/// Place and unit direction so far along a line that has points.
std::pair<Vec2, Vec2> along_line(const std::vector<Vec2>& line, double way);

/// Without the points that lie nearer than `fine` to the one before, but for the last.
std::vector<Vec2> spaced(const std::vector<Vec2>& line, double fine);

/// A head that points onwards so far along a line; nothing on a line of less than two points.
void draw_arrow_on(SvgPage& page, const std::vector<Vec2>& line, double way, double size,
                   const Pen& pen);

}  // namespace lampflight
