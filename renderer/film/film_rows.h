// A take's film read row by row: the sum of its layers, never kept as a whole.
#pragma once

#include <functional>
#include <span>
#include <string>

#include "renderer/film/exposed_take.h"
#include "renderer/film/trail_pixels.h"

namespace lampflight {

/// Reads the film of a take, before the lens spreads it.
class FilmRows {
public:
    /// Fills a row with the sum of films, in the order of their layers. Called from several
    /// threads.
    using SumFilms = std::function<void(int y, Row sum)>;

    /// Refers to the take.
    explicit FilmRows(const ExposedTake& take);

    /// Films that lie elsewhere, and all trails on one.
    FilmRows(const glm::ivec2& pixels, SumFilms films, TrailPixels trails);

    int width() const { return pixels_.x; }
    int height() const { return pixels_.y; }

    /// Fills a row with the lux seconds of surfaces and sky. May be called from several threads.
    void read_surfaces(int y, Row row) const { films_(y, row); }

    /// The same as a function that refers to this.
    std::function<void(int y, Row row)> reading_surfaces() const {
        return [this](int y, Row row) { read_surfaces(y, row); };
    }

    /// Where trails run in a row, all of them together.
    std::span<const TrailPixel> trails(int y) const { return trails_.row(y); }

private:
    glm::ivec2 pixels_;
    SumFilms films_;
    TrailPixels trails_;
};

/// The film of one take, ready for development.
struct TakeFilm {
    std::string name;
    ExposureSettings settings;
    FilmRows rows;
};

}  // namespace lampflight
