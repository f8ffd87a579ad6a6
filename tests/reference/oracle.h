// The oracle: light on film the slow, plain way. Many still instants, each with the lamp at rest,
// and their mean. It shares with the renderer only the view: where the lens's rays meet surfaces,
// and what they find there. Place, aim, face, beam and inverse square are worked out here, in
// double precision; whether a lamp burns, how its flight's pen turns it and who stands there is asked
// anew at every instant.
#pragma once

#include <string>
#include <vector>

#include "renderer/geometry/geometry.h"
#include "renderer/sampling/effort.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

/// Luminance-weighted film of one lamp's direct light, in lux seconds, rows from the top.
struct OracleFilm {
    std::string lamp;
    int width = 0;
    int height = 0;
    std::vector<double> exposure_lxs;
};

/// One film a lamp of the take, in the order of `lit_lamps`. Every film sample has `instants` still
/// instants or more of its own from the shutter's opening to its end or the flight's, dark ones
/// among them; a pixel is the mean over the film samples that the effort gives it.
std::vector<OracleFilm> oracle_films(const PlacedShoot& shoot, const Take& take,
                                     const Effort& effort, int instants);

/// Luminance-weighted film of what a lamp's light leaves on a pixel after exactly one bounce, by
/// random directions drawn one by one, with the lamp at rest in random instants; in lux seconds.
double oracle_one_bounce_lxs(const PlacedShoot& shoot, const Take& take, const Geometry& geometry,
                             const glm::ivec2& pixel, int film_samples, int directions);

}  // namespace lampflight
