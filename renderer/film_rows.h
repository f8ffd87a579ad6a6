// A take's film read row by row: the sum of its layers, never kept as a whole.
#pragma once

#include <span>
#include <vector>

#include "renderer/point_spread.h"
#include "renderer/render.h"

namespace lampflight {

/// Reads the film of a take, before the lens spreads it. Holds on to the take.
class FilmRows {
public:
    explicit FilmRows(const ExposedTake& take);

    int width() const { return take_.pixels.x; }
    int height() const { return take_.pixels.y; }

    /// Fills a row with lux seconds. May be called from several threads.
    void read(int y, Row row) const;

    /// Where trails run in a row, all of them together.
    std::span<const TrailPixel> trails(int y) const;

private:
    const ExposedTake& take_;
    TrailFilm trail_;  ///< all of the take's trails
    std::vector<TrailPixel> trail_pixels_;
    std::vector<std::size_t> first_in_row_;
};

/// The same as the lens spreads it.
class SpreadFilm {
public:
    /// Refers to both.
    SpreadFilm(const PointSpread& spread, const ExposedTake& take);

    int width() const { return film_.width(); }
    int height() const { return film_.height(); }

    void read(int y, Row row) const;
    std::span<const TrailPixel> trails(int y) const { return film_.trails(y); }

    /// Share of a pixel's own light that stays in it, a colour at a time.
    glm::vec3 kept_share() const { return spread_.kept_share(); }

    /// Share that lands within a few pixels of where it belongs.
    glm::vec3 near_share() const { return spread_.near_share(); }

private:
    FilmRows film_;
    const PointSpread& spread_;
    Image film_lxs_;
};

}  // namespace lampflight
