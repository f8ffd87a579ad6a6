#include "renderer/film/exposed_take.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <map>
#include <memory>
#include <utility>

namespace lampflight {
namespace {

/// How many layers hold each film.
using Holders = std::map<const Image*, int>;

Holders holders_in(const std::vector<ExposedTake>& takes) {
    Holders holders;
    for (const ExposedTake& take : takes)
        for (const Layer& layer : take.layers)
            for (const ScaledFilm& film : layer.films) ++holders[film.film.get()];
    return holders;
}

void sum_own_films(Layer& layer, const Holders& holders) {
    const auto own = std::stable_partition(
        layer.films.begin(), layer.films.end(),
        [&](const ScaledFilm& film) { return holders.at(film.film.get()) > 1; });
    if (layer.films.end() - own < 2) return;
    Image sum(own->film->width, own->film->height);
    tbb::parallel_for(0, sum.height, [&](int y) {
        for (auto film = own; film != layer.films.end(); ++film)
            add_scaled(sum.row(y), film->film->row(y), film->scale);
    });
    layer.films.erase(own, layer.films.end());
    layer.films.push_back({std::make_shared<const Image>(std::move(sum)), 1.0f});
}

}  // namespace

void sum_own_films(std::vector<ExposedTake>& takes) {
    const Holders holders = holders_in(takes);
    for (ExposedTake& take : takes)
        for (Layer& layer : take.layers) sum_own_films(layer, holders);
}

}  // namespace lampflight
