// SVG's path data, the attribute `d` (SVG 2, 9.3).
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "scene/flights/files/svg_curve.h"

namespace lampflight {

/// The subpaths that have segments; none for an empty text or `none`. Otherwise what is wrong, as
/// the end of a sentence that began with "... a d whose": SVG would draw up to a fault, which
/// leaves a photographer with half a figure. At most so many segments.
std::variant<std::vector<SvgSubpath>, std::string> read_svg_path(std::string_view d,
                                                                 std::size_t most_segments);

}  // namespace lampflight
