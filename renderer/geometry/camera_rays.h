// Camera rays: what the lens sees of the geometry, tile by tile: a few rays a pixel where it and
// the pixels around it show one surface, all of them where surfaces meet.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "renderer/geometry/geometry.h"
#include "renderer/sampling/effort.h"
#include "renderer/sampling/tile.h"
#include "scene/camera/camera.h"

namespace lampflight {

/// Surfaces of a block, one packet a film sample, one lane a pixel; empty where the block lies
/// beyond the film. Pixels of few samples have nothing in the later packets.
using BlockSurfaces = std::vector<SurfacePacket>;

/// One tile as the lens sees it.
struct TileView {
    glm::ivec2 corner_px{0};  ///< of its first pixel on the film
    std::array<BlockSurfaces, tile_blocks> blocks;
    /// One surface without steps or corners fills the block: a pixel there tells of its neighbours.
    std::array<bool, tile_blocks> plain;
    /// Film samples of each pixel; none beyond the film.
    std::array<std::array<std::uint8_t, packet_size>, tile_blocks> samples;
    TileOf<float> sky_share;  ///< of a pixel's film samples: those that no surface met

    /// Share of a pixel that one film sample stands for.
    float sample_share(std::size_t block, int lane) const {
        const auto count = samples[block][static_cast<std::size_t>(lane)];
        return count == 0 ? 0.0f : 1.0f / static_cast<float>(count);
    }

    /// Pixels of a block that lie on the film.
    LaneMask on_film(std::size_t block) const {
        LaneMask lanes = 0;
        for (int i = 0; i < packet_size; ++i)
            if (samples[block][static_cast<std::size_t>(i)] > 0) lanes |= 1u << i;
        return lanes;
    }
};

class CameraRays {
public:
    CameraRays(const Camera& camera, const Geometry& geometry, const Effort& effort);

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
    RayPacket film_rays(const glm::ivec2& corner_px, std::size_t block, int sample,
                        LaneMask lanes) const;
    void add_samples(std::size_t block, int until, LaneMask lanes, TileView& view) const;

    Projection projection_;
    const Geometry& geometry_;
    glm::ivec2 pixels_;
    int few_;
    int all_;
    float spread_;
};

}  // namespace lampflight
