#include "renderer/spread_film.h"

#include <utility>

namespace lampflight {

SpreadFilm::SpreadFilm(const PointSpread& spread, const FilmRows& film, Image half)
    : film_(film), spread_(spread), far_light_(spread.far_light(std::move(half))) {}

void SpreadFilm::read(int first, int end, Image& band, PointSpread::Room& room) const {
    spread_.lay(film_.reading(), far_light_, {height(), first, end, band, first}, room);
}

}  // namespace lampflight
