#include "renderer/film/film_rows.h"

#include <algorithm>

namespace lampflight {
namespace {

/// In the order of the layers; all have pixels of as many parts.
TrailFilm sum_of_trails(const ExposedTake& take) {
    std::optional<TrailFilm> sum;
    for (const Layer& layer : take.layers) {
        if (!layer.trail) continue;
        if (!sum) sum.emplace(take.pixels.x, take.pixels.y, layer.trail->side());
        for (const TrailPixel& pixel : layer.trail->pixels())
            sum->add_pixel(pixel.x, pixel.y, pixel.parts);
    }
    return sum ? *std::move(sum) : TrailFilm(take.pixels.x, take.pixels.y, 1);
}

}  // namespace

FilmRows::FilmRows(const ExposedTake& take)
    : take_(take), trails_(sum_of_trails(take)), pixels_(trails_.pixels()) {}

void FilmRows::read_surfaces(int y, Row row) const {
    std::ranges::fill(row, glm::vec3(0.0f));
    for (const Layer& layer : take_.layers)
        for (const auto& [film, scale] : layer.films) add_scaled(row, film->row(y), scale);
}

std::span<const TrailPixel> FilmRows::trails(int y) const {
    return {std::ranges::lower_bound(pixels_, y, {}, &TrailPixel::y),
            std::ranges::upper_bound(pixels_, y, {}, &TrailPixel::y)};
}

}  // namespace lampflight
