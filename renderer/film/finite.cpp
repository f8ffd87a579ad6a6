#include "renderer/film/finite.h"

#include <tbb/blocked_range.h>
#include <tbb/parallel_reduce.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>

#include <fmt/format.h>

namespace lampflight {
namespace {

bool is_sound(const Image& film) {
    return tbb::parallel_reduce(
        tbb::blocked_range<int>(0, film.height), true,
        [&](const tbb::blocked_range<int>& rows, bool sound) {
            for (int y = rows.begin(); y < rows.end(); ++y)
                sound = sound && all_finite(film.row(y));
            return sound;
        },
        std::logical_and<>());
}

/// A part that is no number makes none of the mean.
bool is_sound(const TrailFilm& trail) {
    const std::vector<TrailPixel> pixels = trail.pixels();
    return std::ranges::all_of(
        pixels, [](const TrailPixel& pixel) { return all_finite(ConstRow(&pixel.mean_lxs, 1)); });
}

bool is_sound(const Layer& layer) {
    const bool films = std::ranges::all_of(layer.films, [](const ScaledFilm& scaled) {
        return std::isfinite(scaled.scale) && is_sound(*scaled.film);
    });
    return films && (!layer.trail || is_sound(*layer.trail));
}

}  // namespace

bool all_finite(ConstRow row) {
    const float* value = floats_of(row);
    bool sound = true;
    // Without a way out of the loop it is made wide.
    for (std::size_t i = 0; i < 3 * row.size(); ++i)
        sound &= std::abs(value[i]) <= std::numeric_limits<float>::max();
    return sound;
}

std::optional<std::string> unsound_layer(const std::vector<ExposedTake>& takes) {
    for (const ExposedTake& take : takes)
        for (const Layer& layer : take.layers)
            if (!is_sound(layer))
                return fmt::format("\"{}\" of take \"{}\"", layer.id.text(), take.name);
    return std::nullopt;
}

}  // namespace lampflight
