#include "renderer/film_rows.h"

#include <algorithm>

namespace lampflight {
namespace {

TrailFilm all_trails(const ExposedTake& take) {
    TrailFilm sum(take.pixels.x, take.pixels.y, 1);
    bool first = true;
    for (const Layer& layer : take.layers) {
        if (!layer.trail) continue;
        if (first)
            sum = *layer.trail;
        else
            sum.add(*layer.trail);
        first = false;
    }
    return sum;
}

}  // namespace

FilmRows::FilmRows(const ExposedTake& take)
    : take_(take), trail_(all_trails(take)), trail_pixels_(trail_.pixels()) {
    for (int y = 0; y <= height(); ++y) {
        const auto first = std::ranges::lower_bound(trail_pixels_, y, {}, &TrailPixel::y);
        first_in_row_.push_back(static_cast<std::size_t>(first - trail_pixels_.begin()));
    }
}

void FilmRows::read(int y, Row row) const {
    std::ranges::fill(row, glm::vec3(0.0f));
    for (const Layer& layer : take_.layers)
        for (const auto& [film, scale] : layer.films) add_film_row(row, film->row(y), scale);
    for (const TrailPixel& pixel : trails(y))
        row[static_cast<std::size_t>(pixel.x)] += pixel.mean_lxs;
}

std::span<const TrailPixel> FilmRows::trails(int y) const {
    const std::size_t first = first_in_row_[static_cast<std::size_t>(y)];
    const std::size_t end = first_in_row_[static_cast<std::size_t>(y) + 1];
    return std::span(trail_pixels_).subspan(first, end - first);
}

SpreadFilm::SpreadFilm(const PointSpread& spread, const ExposedTake& take)
    : film_(take),
      spread_(spread),
      film_lxs_(spread.laid_on([&](int y, Row row) { film_.read(y, row); })) {}

void SpreadFilm::read(int y, Row row) const {
    std::ranges::copy(film_lxs_.row(y), row.begin());
}

}  // namespace lampflight
