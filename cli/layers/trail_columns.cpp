#include "cli/layers/trail_columns.h"

#include <algorithm>

#include <fmt/format.h>

#include "cli/pictures/exr_colours.h"

namespace lampflight {

std::string trail_part_name(int part) {
    return fmt::format("part{:02}", part);
}

glm::ivec2 trail_size(std::int64_t reached_pixels) {
    constexpr std::int64_t most_columns = 4096;
    const std::int64_t columns = std::min(reached_pixels, most_columns);
    return {columns, (reached_pixels + columns - 1) / columns};
}

TrailColumns::TrailColumns(std::int64_t reached_pixels, int parts_across)
    : size(trail_size(reached_pixels)),
      parts_per_pixel(static_cast<std::size_t>(parts_across * parts_across)),
      x(static_cast<std::size_t>(size.x) * static_cast<std::size_t>(size.y)),
      y(x.size()),
      exposures_lxs(x.size() * parts_per_pixel) {}

Imf::FrameBuffer TrailColumns::buffer() {
    Imf::FrameBuffer buffer;
    const auto across = static_cast<std::size_t>(size.x);
    const auto insert = [&](const std::string& name, Imf::PixelType type, void* first,
                            std::size_t pixel_bytes) {
        buffer.insert(
            name, Imf::Slice(type, static_cast<char*>(first), pixel_bytes, across * pixel_bytes));
    };
    insert("x", Imf::UINT, x.data(), sizeof(std::uint32_t));
    insert("y", Imf::UINT, y.data(), sizeof(std::uint32_t));
    for (std::size_t part = 0; part < parts_per_pixel; ++part)
        for (int colour = 0; colour < 3; ++colour)
            insert(trail_part_name(static_cast<int>(part)) + '.' + rgb[colour], Imf::FLOAT,
                   &exposures_lxs[part][colour], parts_per_pixel * sizeof(glm::vec3));
    return buffer;
}

}  // namespace lampflight
