#include "renderer/layer.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <functional>

namespace lampflight {
namespace {

bool held_here_alone(const ScaledFilm& film) {
    return film.film.use_count() == 1;
}

}  // namespace

glm::vec3 exposure_lxs(const Layer& layer, int x, int y) {
    glm::vec3 sum(0.0f);
    for (const auto& [film, scale] : layer.films) sum += scale * film->at(x, y);
    if (layer.trail) sum += layer.trail->exposure_lxs(x, y);
    return sum;
}

Image picture_lxs(const Layer& layer, const glm::ivec2& pixels) {
    Image picture = layer.trail ? layer.trail->picture() : Image(pixels.x, pixels.y);
    tbb::parallel_for(0, pixels.y, [&](int y) {
        for (const auto& [film, scale] : layer.films)
            add_scaled(picture.row(y), film->row(y), scale);
    });
    return picture;
}

void sum_own_films(Layer& layer) {
    const auto own = std::ranges::stable_partition(layer.films, std::not_fn(held_here_alone));
    if (own.size() < 2) return;
    Image sum(own.front().film->width, own.front().film->height);
    tbb::parallel_for(0, sum.height, [&](int y) {
        for (const auto& [film, scale] : own) add_scaled(sum.row(y), film->row(y), scale);
    });
    layer.films.erase(own.begin(), own.end());
    layer.films.push_back({std::make_shared<const Image>(std::move(sum)), 1.0f});
}

}  // namespace lampflight
