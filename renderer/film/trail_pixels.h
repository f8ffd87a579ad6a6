// The trails of a take as development reads them: all on one film, row by row.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "renderer/film/trail_film.h"

namespace lampflight {

class TrailPixels {
public:
    TrailPixels(TrailPixels&&) noexcept = default;  // a copy would read the other's parts

    /// The sum of films of a picture of `height_px` rows, in their order. All have pixels of as
    /// many parts.
    TrailPixels(int height_px, std::vector<PlacedParts> trails);

    /// In a row, from the left.
    std::span<const TrailPixel> row(int y) const;

private:
    std::vector<glm::vec3> parts_;
    std::vector<TrailPixel> pixels_;  ///< row by row; refer to `parts_`
    std::vector<std::size_t> first_in_row_;
};

}  // namespace lampflight
