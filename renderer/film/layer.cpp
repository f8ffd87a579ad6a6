#include "renderer/film/layer.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <functional>

namespace lampflight {

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

void sum_film_rows(std::span<const PlanarFilmRow> films, ColourLines& room, Row sum) {
    for (std::size_t colour = 0; colour < 3; ++colour) {
        float* const line = room[colour];
        std::fill_n(line, sum.size(), 0.0f);
        for (const PlanarFilmRow& film : films) {
            const float* const lxs = film.planes.lxs[colour];
            const float gain = film.gain[static_cast<int>(colour)];
            for (std::size_t x = 0; x < sum.size(); ++x) line[x] += film.scale * (gain * lxs[x]);
        }
    }
    room.store(sum);
}

bool all_within(std::span<const float> values, float most) {
    int beyond = 0;
    for (const float value : values) beyond |= static_cast<int>(!(value >= 0.0f && value <= most));
    return beyond == 0;
}

}  // namespace lampflight
