// The surface pass: what the lens sees of the geometry, lit by every lamp, by the sky and by what
// bounces; block by block of 4 x 4 pixels, each film sample of a block one packet.
#pragma once

#include <functional>
#include <optional>
#include <stop_token>
#include <string>
#include <vector>

#include "renderer/film/depth_map.h"
#include "renderer/film/image.h"
#include "renderer/lamp_light/lamp_track.h"
#include "renderer/sampling/effort.h"
#include "renderer/surface_light/final_gather.h"

namespace lampflight {

// Films hold the lens factor q times luminance (skies and their discs, in cd/m2) or times luminance
// integrated over time (lamps, cd s/m2), times a scale: one over the f-number's square, and for the
// skies seconds, make it lux seconds.

/// A lamp of one take, and the surfaces as it lights them.
struct LampPass {
    LampTrack track;
    float scale = 1.0f;
    std::size_t take = 0;   ///< whose it is, in the caller's order
    std::string name = {};  ///< of the lamp
    Image film = {};
};

/// Surfaces as the sun or the moon of a sky lights them straight.
struct DiscPass {
    float scale = 1.0f;
    Image film = {};
};

/// A sky, and what it lays on the film.
struct SkyPass {
    const Sky* sky;
    float scale = 1.0f;
    std::vector<DiscPass> discs = {};  ///< in the sky's order
    Image view = {};
    Image surface = {};
};

/// Light of one pass. Lamps of several takes may share it, and the skies of their moments.
struct PassLight {
    const Geometry& geometry;
    std::vector<SkyPass> skies = {};
    std::vector<LampPass> lamps = {};
    IrradianceCache cells = {};
    LitPatches patches = {};                   ///< by the lamps
    std::optional<BouncedLight> bounced = {};  ///< its lamps in the order of `lamps`
    DepthMap depth = {};
};

std::vector<const Sky*> skies_of(const PassLight& light);

/// Fills films and depths in parallel. `tile_done` is called from any thread with the share of the
/// frame that each finished tile is. Returns false if stopped.
bool surface_pass(const Camera& camera, PassLight& light, const Effort& effort,
                  const std::function<void(double)>& tile_done, const std::stop_token& stop);

}  // namespace lampflight
