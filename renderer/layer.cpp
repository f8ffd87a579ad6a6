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

void add_film_row(Row sum, ConstRow film, float scale) {
    add_scaled(sum, film, scale);
}

void sum_own_films(Layer& layer) {
    const auto own =
        std::stable_partition(layer.films.begin(), layer.films.end(), std::not_fn(held_here_alone));
    if (layer.films.end() - own < 2) return;
    Image sum(own->film->width, own->film->height);
    tbb::parallel_for(0, sum.height, [&](int y) {
        for (auto film = own; film != layer.films.end(); ++film)
            add_scaled(sum.row(y), film->film->row(y), film->scale);
    });
    layer.films.erase(own, layer.films.end());
    layer.films.push_back({std::make_shared<const Image>(std::move(sum)), 1.0f});
}

}  // namespace lampflight
