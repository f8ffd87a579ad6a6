// A take's film as the lens spreads it, some rows at a time.
#pragma once

#include "renderer/film/film_rows.h"
#include "renderer/lens/point_spread.h"

namespace lampflight {

/// The pixels that trails run through, means over their parts.
SparseImage lit_by_trails(const FilmRows& film);

class SpreadFilm {
public:
    /// Refers to both. `half` is what `film.reading_surfaces` reads, at half its size.
    SpreadFilm(const PointSpread& spread, const FilmRows& film, Image half);

    SpreadFilm(const PointSpread& spread, const FilmRows& film)
        : SpreadFilm(spread, film, halved(film.width(), film.height(), film.reading_surfaces())) {}

    int width() const { return film_.width(); }
    int height() const { return film_.height(); }

    /// Fills the rows from `first` to `end`; `first` is the first of `band`, which is as wide as
    /// the film. May be called from several threads, each with room of its own; many rows at once
    /// cost less.
    void read(int first, int end, Image& band, PointSpread::Room& room) const;

    std::span<const TrailPixel> trails(int y) const { return film_.trails(y); }

    /// Share of a pixel's own light that stays in it, a colour at a time.
    glm::vec3 kept_share() const { return spread_.kept_share(); }

    /// Share that lands within a few pixels of where it belongs.
    glm::vec3 near_share() const { return spread_.near_share(); }

private:
    const FilmRows& film_;
    const PointSpread& spread_;
    SparseImage trails_;
    PointSpread::FarLight far_light_;
};

}  // namespace lampflight
