// A picture in memory: rows from the top, linear Rec. 709.
#pragma once

#include <cstddef>
#include <span>

#include <glm/glm.hpp>

#include "renderer/film/film_buffer.h"

namespace lampflight {

/// One row of a picture, to read or to fill.
using Row = std::span<glm::vec3>;
using ConstRow = std::span<const glm::vec3>;

struct Image {
    int width = 0;
    int height = 0;
    FilmBuffer<glm::vec3> pixels;

    Image() = default;
    Image(int width_px, int height_px)
        : width(width_px),
          height(height_px),
          pixels(static_cast<std::size_t>(width_px) * static_cast<std::size_t>(height_px)) {}

    glm::vec3& at(int x, int y) { return pixels[index(x, y)]; }
    const glm::vec3& at(int x, int y) const { return pixels[index(x, y)]; }

    Row row(int y) { return {pixels.data() + index(0, y), static_cast<std::size_t>(width)}; }
    ConstRow row(int y) const {
        return {pixels.data() + index(0, y), static_cast<std::size_t>(width)};
    }

private:
    std::size_t index(int x, int y) const {
        return static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
               static_cast<std::size_t>(x);
    }
};

/// Pixels are three floats side by side; a row of them is one run, which compilers make wide.
inline float* floats_of(Row row) {
    return row.empty() ? nullptr : &row.front().x;
}
inline const float* floats_of(ConstRow row) {
    return row.empty() ? nullptr : &row.front().x;
}

/// Adds a row times a factor to another; for all callers to the same last bit.
void add_scaled(Row sum, ConstRow more, float factor);

}  // namespace lampflight
