// SVG files (SVG 1.1 and 2, W3C) as strokes: the outlines of paths and basic shapes.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <variant>

#include "scene/flights/svg_drawing.h"

namespace lampflight {

constexpr std::size_t most_svg_bytes = std::size_t{16} << 20;
constexpr std::size_t most_svg_points = 200'000;

/// A drawing in the order of the file, or what is wrong with it in one sentence without its full
/// stop ("it holds nothing to draw"). Transforms of elements and groups are obeyed; what is not
/// displayed, or stands in defs, symbols, masks and the like, is left out. Colour, fill, width and
/// style sheets say nothing here, nor does the page's own size. Refused are what is no SVG, a
/// DOCTYPE with declarations of its own (nothing is ever fetched), pictures, text and copies
/// (`use`), which hold no outline of their own, more than `most_svg_bytes` or `most_svg_points`,
/// and drawings without a width to scale by. Chords are fine as `fineness_of` tells.
std::variant<SvgDrawing, std::string> read_svg(std::string_view bytes);

}  // namespace lampflight
