// Names and shapes that the writer and the reader of layer files must agree on.
#pragma once

#include <string>

#include <fmt/format.h>

namespace lampflight {

/// String attributes of the first part's header.
constexpr const char* layers_attribute = "lampflight.layers";
constexpr const char* scene_attribute = "lampflight.scene";

/// Width of a part with a trail by sensor pixel, but for short trails.
constexpr int trail_columns = 4096;

/// Channels of one of a pixel's parts, row by row from the upper left, are this and ".R" and so on.
inline std::string trail_part_name(int part) {
    return fmt::format("part{:02}", part);
}

}  // namespace lampflight
