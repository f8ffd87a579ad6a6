#include "renderer/film/layer.h"

#include <tbb/parallel_for.h>

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

}  // namespace lampflight
