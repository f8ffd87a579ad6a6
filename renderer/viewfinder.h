// What the lens sees of the stage, tile by tile: a few rays a pixel where a block of 4 x 4 pixels
// shows one surface, all of them where surfaces meet.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "renderer/effort.h"
#include "renderer/stage.h"
#include "renderer/tile.h"
#include "scene/camera.h"

namespace lampflight {

/// Surfaces of a block, one packet a film sample, one lane a pixel; empty where the block lies
/// beyond the film. All of a block's samples weigh alike.
using BlockSurfaces = std::vector<SurfacePacket>;

/// One tile as the lens sees it.
struct TileView {
    glm::ivec2 corner_px{0};  ///< of its first pixel on the film
    std::array<BlockSurfaces, tile_blocks> blocks;
    /// One surface without steps or corners fills the block: a pixel there tells of its neighbours.
    std::array<bool, tile_blocks> plain;
    TileOf<float> sky_share;  ///< of a pixel's film samples: those that no surface met

    /// Share of a pixel that one film sample stands for.
    float sample_share(std::size_t block) const {
        return blocks[block].empty() ? 0.0f : 1.0f / static_cast<float>(blocks[block].size());
    }
};

class Viewfinder {
public:
    Viewfinder(const Camera& camera, const Stage& stage, const Effort& effort);

    void see(const glm::ivec2& corner_px, TileView& view) const;

    /// What a block of 4 x 4 pixels with this corner sees in one film sample a pixel.
    SurfacePacket glance(const glm::ivec2& corner_px) const;

    glm::vec3 lens_m() const { return glm::vec3(projection_.position_m()); }
    /// Width of a pixel per unit of distance from the lens.
    float spread() const { return spread_; }
    const Projection& projection() const { return projection_; }

    bool in_film(const glm::ivec2& film_px) const {
        return film_px.x < pixels_.x && film_px.y < pixels_.y;
    }

    /// Place within its pixel of a lane's film sample. The first few samples are pairs opposite to
    /// each other, other pairs in other lanes: each pixel is seen evenly about its middle, and a
    /// block in many places.
    glm::vec2 sample_place(int sample, int lane) const;

private:
    RayPacket film_rays(const glm::ivec2& corner_px, std::size_t block, int sample) const;
    void add_samples(std::size_t block, int until, TileView& view) const;

    Projection projection_;
    const Stage& stage_;
    glm::ivec2 pixels_;
    int few_;
    int all_;
    float spread_;
};

}  // namespace lampflight
