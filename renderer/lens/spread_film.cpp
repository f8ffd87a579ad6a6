#include "renderer/lens/spread_film.h"

#include <utility>

namespace lampflight {

SparseImage lit_by_trails(const FilmRows& film) {
    SparseImage lit({film.width(), film.height()});
    for (int y = 0; y < film.height(); ++y)
        for (const TrailPixel& pixel : film.trails(y))
            lit.rows[static_cast<std::size_t>(y)].push_back({pixel.x, pixel.mean_lxs});
    return lit;
}

SpreadFilm::SpreadFilm(const PointSpread& spread, const FilmRows& film, Image half)
    : film_(film),
      spread_(spread),
      trails_(lit_by_trails(film)),
      far_light_(spread.far_light(std::move(half), trails_)) {}

void SpreadFilm::read(int first, int end, Image& band, PointSpread::Room& room) const {
    spread_.lay(film_.reading_surfaces(), trails_, far_light_, {height(), first, end, band, first},
                room);
}

}  // namespace lampflight
