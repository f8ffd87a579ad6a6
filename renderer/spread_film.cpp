#include "renderer/spread_film.h"

namespace lampflight {

SpreadFilm::SpreadFilm(const PointSpread& spread, const FilmRows& film)
    : film_(film), spread_(spread), far_light_(spread.far_light(rows())) {}

void SpreadFilm::read(int first, int end, Image& band, PointSpread::Room& room) const {
    spread_.lay(rows(), far_light_, {height(), first, end, band, first}, room);
}

}  // namespace lampflight
