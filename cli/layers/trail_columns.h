// A trail by the sensor's own pixels as its part of the file has it, for writer and reader.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include <OpenEXR/ImfFrameBuffer.h>
#include <glm/glm.hpp>

namespace lampflight {

/// Channels of one of a pixel's parts, counted row by row from the upper left, are this and ".R"
/// and so on.
std::string trail_part_name(int part);

/// Columns and rows of the part that holds so many pixels of the picture, some of which are none
/// at the end.
glm::ivec2 trail_size(std::int64_t reached_pixels);

/// One column for each pixel that light reached: its place and its parts' exposures.
struct TrailColumns {
    TrailColumns(std::int64_t reached_pixels, int parts_across);

    /// For reading and writing all of it.
    Imf::FrameBuffer buffer();

    glm::ivec2 size;
    std::size_t parts_per_pixel;
    std::vector<std::uint32_t> x, y;
    std::vector<glm::vec3> exposures_lxs;  ///< the parts of a pixel side by side
};

}  // namespace lampflight
