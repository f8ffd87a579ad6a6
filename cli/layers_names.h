// Names and shapes that the writer and the reader of layer files must agree on.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include <OpenEXR/ImfFrameBuffer.h>
#include <fmt/format.h>
#include <glm/glm.hpp>

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

/// Where a trail by sensor pixel lies in memory: the parts of a pixel side by side, pixels row by
/// row.
inline Imf::FrameBuffer trail_buffer(int columns, std::size_t parts_per_pixel,
                                     std::vector<std::uint32_t>& x, std::vector<std::uint32_t>& y,
                                     glm::vec3* exposures) {
    Imf::FrameBuffer buffer;
    const auto across = static_cast<std::size_t>(columns);
    const auto insert_places = [&](const char* name, std::vector<std::uint32_t>& places) {
        buffer.insert(name, Imf::Slice(Imf::UINT, reinterpret_cast<char*>(places.data()),
                                       sizeof(std::uint32_t), across * sizeof(std::uint32_t)));
    };
    insert_places("x", x);
    insert_places("y", y);
    const std::size_t pixel_bytes = parts_per_pixel * sizeof(glm::vec3);
    for (std::size_t part = 0; part < parts_per_pixel; ++part)
        for (std::size_t colour = 0; colour < 3; ++colour)
            buffer.insert(trail_part_name(static_cast<int>(part)) + '.' + "RGB"[colour],
                          Imf::Slice(Imf::FLOAT,
                                     reinterpret_cast<char*>(exposures + part) +
                                         colour * sizeof(float),
                                     pixel_bytes, across * pixel_bytes));
    return buffer;
}

}  // namespace lampflight
