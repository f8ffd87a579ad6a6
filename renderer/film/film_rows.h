// A take's film read row by row: the sum of its layers, never kept as a whole.
#pragma once

#include <functional>
#include <span>
#include <vector>

#include "renderer/film/exposed_take.h"

namespace lampflight {

/// Reads the film of a take, before the lens spreads it.
class FilmRows {
public:
    /// Refers to the take.
    explicit FilmRows(const ExposedTake& take);
    FilmRows(FilmRows&&) noexcept = default;  // a copy would read the other's trails

    int width() const { return take_.pixels.x; }
    int height() const { return take_.pixels.y; }

    /// Fills a row with the lux seconds of surfaces and sky. May be called from several threads.
    void read_surfaces(int y, Row row) const;

    /// The same as a function that refers to this.
    std::function<void(int y, Row row)> reading_surfaces() const {
        return [this](int y, Row row) { read_surfaces(y, row); };
    }

    /// Where trails run in a row, all of them together, from the left.
    std::span<const TrailPixel> trails(int y) const;

private:
    const ExposedTake& take_;
    TrailFilm trails_;                ///< the sum of all
    std::vector<TrailPixel> pixels_;  ///< row by row; refer to `trails_`
};

}  // namespace lampflight
