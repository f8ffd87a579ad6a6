// Layers: what arrived on film by source and way. Dense films follow the megapixels, so takes share
// those that are the same for them, and trails are kept only where they ran.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "renderer/film/image.h"
#include "renderer/film/trail_film.h"
#include "scene/shoot/layer_id.h"

namespace lampflight {

/// A film and what one take makes of it: lux seconds are the film's values times the scale. Of the
/// first take that holds the film the scale is 1.
struct ScaledFilm {
    std::shared_ptr<const Image> film;
    float scale;
};

/// Light that arrived in one way from one source. Its exposure is the sum of what it holds.
struct Layer {
    LayerId id = {};
    std::vector<ScaledFilm> films = {};   ///< of surfaces or sky, one for each set of subjects
    std::optional<TrailFilm> trail = {};  ///< of the lamp itself
};

/// Exposure of a pixel in lux seconds.
glm::vec3 exposure_lxs(const Layer& layer, int x, int y);

/// The whole layer as a picture in lux seconds.
Image picture_lxs(const Layer& layer, const glm::ivec2& pixels);

}  // namespace lampflight
