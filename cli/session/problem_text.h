// Diagnostics for a terminal: each problem with its line of the scene and a caret under the place.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "scene/basics/problem.h"

namespace lampflight {

/// Problems shown in full; of the others only how many there are.
constexpr std::size_t most_problems_shown = 20;

/// Every problem as `file:line:column: text`, with its line of `source` and a caret below; of four
/// or more alike only the first, with the lines of the others. The last line counts them all.
std::string problems_text(const std::vector<Problem>& problems, std::string_view source);

/// A line and a caret under one of its characters (from 1), both indented and ending in a line
/// break: cropped about the place, control characters and stray bytes made harmless.
std::string excerpt(std::string_view line, int column);

}  // namespace lampflight
