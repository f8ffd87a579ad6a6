// Layers: what arrived on film by source and way. Dense films follow the megapixels, so takes share
// those that are the same for them, and trails are kept only where they ran.
#pragma once

#include <array>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "renderer/image.h"
#include "renderer/trail_film.h"

namespace lampflight {

/// A film and what one take makes of it: lux seconds are the film's values times the scale. Of the
/// first take that holds the film the scale is 1.
struct ScaledFilm {
    std::shared_ptr<const Image> film;
    float scale;
};

/// Light that arrived in one way from one source: "warm.surface", "warm.trail", "sky.surface",
/// "sky.view". Its exposure is the sum of what it holds.
struct Layer {
    std::string name;
    std::vector<ScaledFilm> films = {};   ///< of surfaces or sky, one for each set of subjects
    std::optional<TrailFilm> trail = {};  ///< of the lamp itself
};

/// Exposure of a pixel in lux seconds.
glm::vec3 exposure_lxs(const Layer& layer, int x, int y);

/// The whole layer as a picture in lux seconds.
Image picture_lxs(const Layer& layer, const glm::ivec2& pixels);

/// Adds one film's row to the sum of a take's: in the order of its layers this is the take's film
/// to the last bit, wherever it is done.
void add_film_row(Row sum, ConstRow film, float scale);

/// The same for a row whose colours lie apart, as files keep them, each times a gain.
struct ColourPlanes {
    std::array<const float*, 3> lxs;
};
void add_film_row(Row sum, const ColourPlanes& film, const glm::vec3& gain, float scale);

/// Whether all numbers are some that films hold: none below 0 or above a limit, and no NaN.
bool all_within(std::span<const float> values, float most);

/// Sums the films that nobody else holds, so that a take of many sets of subjects keeps one.
void sum_own_films(Layer& layer);

}  // namespace lampflight
