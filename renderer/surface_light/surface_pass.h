// The surface pass: what the lens sees of the geometry, lit by every lamp, by the sky and by what
// bounces; block by block of 4 x 4 pixels, each film sample of a block one packet.
#pragma once

#include <functional>
#include <optional>
#include <stop_token>
#include <vector>

#include "renderer/film/depth_map.h"
#include "renderer/film/image.h"
#include "renderer/lamp_light/lamp_track.h"
#include "renderer/sampling/effort.h"
#include "renderer/surface_light/final_gather.h"

namespace lampflight {

/// What a sky's films are multiplied by.
struct SkyScales {
    float sky;
    std::vector<float> discs;
};

/// Light of one geometry. Lamps of several takes may share it, and the skies of their moments: each
/// has a film of its own, and a scale for it or none for 1.
struct PassLight {
    const Geometry& geometry;
    std::vector<const Sky*> skies;
    std::vector<LampTrack> lamps;
    IrradianceCache cells;
    std::optional<BouncedLight> bounced;  ///< its lamps in the order of `lamps`
    std::vector<SkyScales> sky_scales = {};
    std::vector<float> lamp_scales = {};
};

/// Lens factor q times luminance (skies and their discs, in cd/m2) or times luminance integrated
/// over time (lamps, cd s/m2), times the scale: one over the f-number's square, and for the skies
/// seconds, make it lux seconds.
struct SkyFilms {
    Image view;
    Image surface;
    std::vector<Image> discs;  ///< surfaces by the sky's sun and moon, in the sky's order
};

struct PassFilms {
    std::vector<SkyFilms> skies;
    std::vector<Image> lamp_surface;
    DepthMap depth;
};

/// Fills the films in parallel. `tile_done` is called from any thread with the share of the frame
/// that each finished tile is. Returns false if stopped.
bool surface_pass(const Camera& camera, const PassLight& light, const Effort& effort,
                  PassFilms& films, const std::function<void(double)>& tile_done,
                  const std::stop_token& stop);

}  // namespace lampflight
