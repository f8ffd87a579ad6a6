// What may be light in a file of layers.
#pragma once

#include <span>
#include <string>

#include "renderer/film/layer.h"

namespace lampflight {

/// Throws UnfitLayers if some of a layer's pixels, in lux seconds, are no light: no number, beyond
/// all measure, or darker than none.
void check_light(ConstRow pixels, const std::string& layer);
void check_light(const ColourPlanes& planes, std::size_t count, const std::string& layer);

}  // namespace lampflight
