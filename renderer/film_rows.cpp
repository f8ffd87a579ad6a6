#include "renderer/film_rows.h"

#include <algorithm>
#include <utility>

namespace lampflight {
namespace {

std::vector<TrailFilm> trails_of(const ExposedTake& take) {
    std::vector<TrailFilm> trails;
    for (const Layer& layer : take.layers)
        if (layer.trail) trails.push_back(*layer.trail);
    return trails;
}

}  // namespace

TrailFilm all_trails(const glm::ivec2& pixels, std::vector<TrailFilm> trails) {
    if (trails.empty()) return {pixels.x, pixels.y, 1};
    for (std::size_t i = 1; i < trails.size(); ++i) trails[0].add(trails[i]);
    return std::move(trails[0]);
}

FilmRows::FilmRows(const ExposedTake& take)
    : FilmRows(
          take.pixels,
          [&take](int y, Row row) {
              for (const Layer& layer : take.layers)
                  for (const auto& [film, scale] : layer.films)
                      add_film_row(row, film->row(y), scale);
          },
          all_trails(take.pixels, trails_of(take))) {}

FilmRows::FilmRows(const glm::ivec2& pixels, AddFilms films, TrailFilm trails)
    : pixels_(pixels),
      films_(std::move(films)),
      trail_(std::move(trails)),
      trail_pixels_(trail_.pixels()) {
    for (int y = 0; y <= height(); ++y) {
        const auto first = std::ranges::lower_bound(trail_pixels_, y, {}, &TrailPixel::y);
        first_in_row_.push_back(static_cast<std::size_t>(first - trail_pixels_.begin()));
    }
}

void FilmRows::read_surfaces(int y, Row row) const {
    std::ranges::fill(row, glm::vec3(0.0f));
    films_(y, row);
}

void FilmRows::read(int y, Row row) const {
    read_surfaces(y, row);
    for (const TrailPixel& pixel : trails(y))
        row[static_cast<std::size_t>(pixel.x)] += pixel.mean_lxs;
}

std::span<const TrailPixel> FilmRows::trails(int y) const {
    const std::size_t first = first_in_row_[static_cast<std::size_t>(y)];
    const std::size_t end = first_in_row_[static_cast<std::size_t>(y) + 1];
    return std::span(trail_pixels_).subspan(first, end - first);
}

}  // namespace lampflight
