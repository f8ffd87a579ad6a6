// A picture in memory: rows from the top, linear Rec. 709.
#pragma once

#include <cstddef>
#include <vector>

#include <glm/glm.hpp>

namespace lampflight {

struct Image {
    int width = 0;
    int height = 0;
    std::vector<glm::vec3> pixels;

    Image() = default;
    Image(int width_px, int height_px)
        : width(width_px),
          height(height_px),
          pixels(static_cast<std::size_t>(width_px) * static_cast<std::size_t>(height_px)) {}

    glm::vec3& at(int x, int y) { return pixels[index(x, y)]; }
    const glm::vec3& at(int x, int y) const { return pixels[index(x, y)]; }

private:
    std::size_t index(int x, int y) const {
        return static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
               static_cast<std::size_t>(x);
    }
};

}  // namespace lampflight
