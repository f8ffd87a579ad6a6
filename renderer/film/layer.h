// Layers: what arrived on film by source and way. Dense films follow the megapixels, so takes share
// those that are the same for them, and trails are kept only where they ran.
#pragma once

#include <array>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "renderer/film/colour_lines.h"
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

/// A film's row whose colours lie apart, as files keep them, and what a take makes of it.
struct ColourPlanes {
    std::array<const float*, 3> lxs;
};
struct PlanarFilmRow {
    ColourPlanes planes;
    glm::vec3 gain;
    float scale;
};

/// Fills a row with the sum of films in their order: where no gain is other than 1 to the last bit
/// what `add_scaled` makes of them. `room` is as long.
void sum_film_rows(std::span<const PlanarFilmRow> films, ColourLines& room, Row sum);

/// Whether all numbers are some that films hold: none below 0 or above a limit, and no NaN.
bool all_within(std::span<const float> values, float most);

}  // namespace lampflight
