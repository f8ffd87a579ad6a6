// Indirect light over one tile of film, from the hemisphere. A pixel's own rays leave it noisy, but
// such light is smooth along a surface, and the pixels of a neighbourhood ask in different
// directions: each takes the mean of those around it that lie on the same surface.
#pragma once

#include <vector>

#include "renderer/geometry/tile_surfaces.h"

namespace lampflight {

/// Sums over the film samples of each pixel, weighted by reflectance.
class IndirectTile {
public:
    /// Empties the tile; sources are the skies, by what bounces of them, and then the lamps.
    void reset(std::size_t skies, std::size_t lamps);

    /// One film sample's reflectance in a pixel, and what falls on it from a source.
    void add_reflectance(std::size_t pixel, const glm::vec3& reflectance);
    void add_light(std::size_t pixel, std::size_t source, const glm::vec3& reflectance,
                   const glm::vec3& light);

    /// A sky's own light on it: as its rays found it, with and without what hides the sky, and as
    /// it would be in the open (see Gathered).
    void add_sky(std::size_t pixel, std::size_t sky, const glm::vec3& reflectance,
                 const glm::vec3& seen_lx, const glm::vec3& asked_lx,
                 const glm::vec3& irradiance_lx);

    /// Replaces the light by its means over neighbours.
    void smooth(const TileSurfaces& surfaces);

    /// Reflectance times light; a sky's own light with it.
    glm::vec3 reflected(std::size_t pixel, std::size_t source) const;

private:
    TileOf<glm::vec3> reflectance_;
    std::vector<TileOf<glm::vec3>> open_sky_;
    std::size_t sources_ = 0;
    std::size_t stride_ = 0;  ///< floats for a pixel
    // By pixel, so that all of a neighbour's light is taken at once: the colours of each source,
    // then of each sky, seen and asked.
    std::vector<float> light_;
    std::vector<float> smoothed_;

    void add(std::size_t pixel, std::size_t place, const glm::vec3& light);
    glm::vec3 smoothed(std::size_t pixel, std::size_t place) const;
    void smooth_row(const TileSurfaces& surfaces, int y);
};

}  // namespace lampflight
