// Light from the hemisphere over one tile of film. A pixel's own rays leave it noisy, but such light
// is smooth along a surface, and the pixels of a neighbourhood ask in different directions: each
// takes the mean of those around it that lie on the same surface.
#pragma once

#include <vector>

#include "renderer/tile_surfaces.h"

namespace lampflight {

class IndirectTile {
public:
    /// Empties the tile; `sources` are the sky and the lamps.
    void reset(std::size_t sources);

    /// One film sample's reflectance in a pixel, and what falls on it from a source.
    void add_reflectance(std::size_t pixel, const glm::vec3& reflectance);
    void add_light(std::size_t pixel, std::size_t source, const glm::vec3& reflectance,
                   const glm::vec3& light);

    /// Replaces the light by its means over neighbours.
    void smooth(const TileSurfaces& surfaces);

    /// Sum over the film samples of reflectance times light.
    glm::vec3 reflected(std::size_t pixel, std::size_t source) const;

private:
    TileOf<glm::vec3> reflectance_;
    std::vector<TileOf<glm::vec3>> light_;
    std::vector<TileOf<glm::vec3>> smoothed_;
};

}  // namespace lampflight
