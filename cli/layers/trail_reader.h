// Trails by sensor pixel, read back from a file of layers.
#pragma once

#include <string>

#include <glm/glm.hpp>

#include "cli/layers/exr_file.h"
#include "cli/layers/layers_manifest.h"
#include "renderer/film/trail_pixels.h"

namespace lampflight {

/// Columns and rows of the part that holds so many pixels, some of which are none at the end.
glm::ivec2 trail_size(std::int64_t reached_pixels);

/// A layer's trail and what is made of its light.
struct TrailToRead {
    int part;  ///< of the file; its size and channels are as the trail's should be
    std::string layer;
    TrailInFile trail;
    glm::vec3 gain;
};

/// What is wrong with it is thrown as UnfitLayers.
PlacedParts read_trail(const ExrFile& file, const TrailToRead& from, const glm::ivec2& pixels);

}  // namespace lampflight
