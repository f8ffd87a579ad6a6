// SVG's basic shapes (SVG 2, chapter 10) as subpaths.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "scene/flights/files/svg_curve.h"

namespace pugi {
class xml_node;
}

namespace lampflight {

/// Nothing, one subpath or, of a path, many; or what is wrong, as the end of a sentence that began
/// with the element: `has a width whose ...`.
using SvgOutline = std::variant<std::vector<SvgSubpath>, std::string>;

/// Whether it is path, rect, circle, ellipse, line, polyline or polygon.
bool is_svg_shape(std::string_view element);

/// Of a shape of at most so many segments, in its own units, without its transform.
SvgOutline svg_outline(std::string_view element, const pugi::xml_node& node,
                       std::size_t most_segments);

/// Where a <svg> within another stands; or what is wrong.
std::variant<Vec2, std::string> svg_corner(const pugi::xml_node& node);

}  // namespace lampflight
