// Strokes of a drawing (SVG 2, W3C), as points: what a lamp draws without going out.
#pragma once

#include <cstddef>
#include <vector>

#include "scene/basics/vector.h"

namespace lampflight {

/// Points in SVG's user units, x to the right and y down; two at least, neighbours apart.
struct SvgStroke {
    std::vector<Vec2> points;
    std::vector<bool> corner;  ///< of each point; false inside a curve and where curves join evenly
    bool closed = false;       ///< leads from the last point to the first, which is not repeated
};

struct SvgDrawing {
    std::vector<SvgStroke> strokes;
};

/// A box in the drawing's plane; empty while `low` exceeds `high`.
struct FigureBox {
    Vec2 low{1e300};
    Vec2 high{-1e300};

    void include(const Vec2& point) {
        low = glm::min(low, point);
        high = glm::max(high, point);
    }
    Vec2 size() const { return high - low; }
    Vec2 centre() const { return 0.5 * (low + high); }
};

/// Of all points, in user units.
FigureBox figure_box(const SvgDrawing& drawing);

}  // namespace lampflight
