// Importance sampling of the sky: directions towards what shines, for rays that ask how much of it
// is hidden. A dusk's brightest patch is some 28 times its mean: by the cosine alone the one ray in
// a thousand that found it behind a hill drew a dark square as wide as the smoothing.
#pragma once

#include <vector>

#include "renderer/sky/sky.h"

namespace lampflight {

/// Directions above the horizon, as many to a patch of sky as it has light: by cells, even in
/// bearing and, by solid angle, within each.
class SkySampler {
public:
    /// Of several skies each counts alike, however bright. There are no directions without light.
    explicit SkySampler(const std::vector<const Sky*>& skies);

    bool none() const { return per_sr_.empty(); }

    /// Unit, for a place in [0, 1)^2: even places go as the light does.
    glm::vec3 at(const glm::vec2& place) const;

    /// Density of directions; none below the horizon.
    float per_sr(const glm::vec3& direction) const;

private:
    std::vector<float> per_sr_;        ///< by cells, row by row
    std::vector<float> rows_until_;    ///< share of the light up to the end of each row of cells
    std::vector<float> within_until_;  ///< of a row's light, up to the end of each cell
};

}  // namespace lampflight
