// Light read from parts of a file of layers that have the right shape and channels.
#pragma once

#include <cstdint>
#include <string>

#include <OpenEXR/ImfHeader.h>
#include <OpenEXR/ImfInputPart.h>

#include "cli/layers/layers_manifest.h"
#include "renderer/film/trail_film.h"

namespace lampflight {

/// Of all channels of a part whose channels have every pixel.
std::uint64_t row_bytes(const Imf::Header& part);

/// Adds the part's rows of a layer's film, times gain and scale, to a film as wide, in lux seconds.
/// Throws UnfitLayers for what is no light, and what the library throws.
void add_film(Imf::InputPart& part, const std::string& layer, const glm::vec3& gain, float scale,
              Image& sum);

/// Adds a layer's trail, times a gain, to one that is cut alike, on a picture of some size. Throws
/// as `add_film`, and for pixels out of the frame or out of order.
void add_trail(Imf::InputPart& part, const std::string& layer, const TrailInFile& trail,
               const glm::vec3& gain, const glm::ivec2& pixels, TrailFilm& sum);

}  // namespace lampflight
