// In what order, from which end and from which corner the strokes of a drawing are drawn.
#pragma once

#include <cstddef>
#include <vector>

#include "scene/flights/svg_drawing.h"

namespace lampflight {

/// How one stroke is drawn.
struct StrokeTurn {
    std::size_t stroke;     ///< number in the drawing
    bool reversed = false;  ///< an open one, from its last point to its first
    std::size_t first = 0;  ///< a closed one begins and ends at this point
};

using StrokeOrder = std::vector<StrokeTurn>;

/// As the file has them, each as it was drawn.
StrokeOrder order_of_file(const SvgDrawing& drawing);

/// The order with the shortest dark way from stroke to stroke, wherever it begins. For up to 8
/// strokes the shortest there is (Held and Karp 1962), when a closed one has no more than 64
/// points; of others 64 are tried first. For more strokes the nearest neighbour each time, then
/// bettered by turning stretches round and moving them elsewhere (2-opt, Croes 1958; Or-opt, Or
/// 1976), never longer than the file's. The work is bounded for any number of strokes.
StrokeOrder shortest_order(const SvgDrawing& drawing);

/// The way in the dark, in user units.
double dark_way(const SvgDrawing& drawing, const StrokeOrder& order);

/// Numbers of a stroke's points in the order in which they are drawn; a closed one ends where it
/// began.
std::vector<std::size_t> points_drawn(const SvgStroke& stroke, const StrokeTurn& turn);

}  // namespace lampflight
