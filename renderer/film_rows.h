// A take's film read row by row: the sum of its layers, never kept as a whole.
#pragma once

#include <functional>
#include <span>
#include <string>
#include <vector>

#include "renderer/render.h"

namespace lampflight {

/// Reads the film of a take, before the lens spreads it.
class FilmRows {
public:
    /// Adds what films hold to a row, in the order of their layers. Called from several threads.
    using AddFilms = std::function<void(int y, Row sum)>;

    /// Refers to the take.
    explicit FilmRows(const ExposedTake& take);

    /// Films that lie elsewhere, and all trails on one.
    FilmRows(const glm::ivec2& pixels, AddFilms films, TrailFilm trails);

    FilmRows(FilmRows&&) noexcept = default;  // a copy would read the other's trails

    int width() const { return pixels_.x; }
    int height() const { return pixels_.y; }

    /// Fills a row with lux seconds. May be called from several threads.
    void read(int y, Row row) const;
    void read_surfaces(int y, Row row) const;

    /// The same of surfaces and sky alone, as a function that refers to this.
    std::function<void(int y, Row row)> reading_surfaces() const {
        return [this](int y, Row row) { read_surfaces(y, row); };
    }

    /// Where trails run in a row, all of them together.
    std::span<const TrailPixel> trails(int y) const;

private:
    glm::ivec2 pixels_;
    AddFilms films_;
    TrailFilm trail_;  ///< all of the take's trails
    std::vector<TrailPixel> trail_pixels_;
    std::vector<std::size_t> first_in_row_;
};

/// Trails of one take on one film.
TrailFilm all_trails(const glm::ivec2& pixels, std::vector<TrailFilm> trails);

/// The film of one take, ready for development.
struct TakeFilm {
    std::string name;
    ExposureSettings settings;
    FilmRows rows;
};

}  // namespace lampflight
