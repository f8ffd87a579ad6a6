#include "renderer/film/film_rows.h"

#include <algorithm>
#include <utility>
#include <vector>

namespace lampflight {
namespace {

TrailPixels trails_of(const ExposedTake& take) {
    std::vector<PlacedParts> trails;
    for (const Layer& layer : take.layers)
        if (layer.trail) trails.push_back(layer.trail->placed_parts());
    return {take.pixels.y, std::move(trails)};
}

}  // namespace

FilmRows::FilmRows(const ExposedTake& take)
    : FilmRows(
          take.pixels,
          [&take](int y, Row row) {
              std::ranges::fill(row, glm::vec3(0.0f));
              for (const Layer& layer : take.layers)
                  for (const auto& [film, scale] : layer.films)
                      add_scaled(row, film->row(y), scale);
          },
          trails_of(take)) {}

FilmRows::FilmRows(const glm::ivec2& pixels, SumFilms films, TrailPixels trails)
    : pixels_(pixels), films_(std::move(films)), trails_(std::move(trails)) {}

}  // namespace lampflight
