// A render's layers as an OpenEXR file (3.1, multi-part, plain scanline parts), for other programs
// and for `retune`.
//
// - One part for each film, "low halo: warm.surface", or "low halo + high halo: sky.view" where
//   takes share it, with a data window from the first row that has light to the last. Channels
//   "warm.surface.R", "sky.view.G" and so on are lux seconds on the film in linear Rec. 709, half
//   or float.
// - One part for each trail, "low halo: warm.trail", with a data window around it alone.
// - One part for each trail by the sensor's own pixels, for `retune`: a column for each pixel of
//   the picture that light reached, its place in "x" and "y", its parts' exposures in
//   "part00.R" onwards. Other programs may leave it out.
// - In the first part's header the scene's text ("lampflight.scene") and the list of all this as
//   JSON ("lampflight.layers").
#pragma once

#include <filesystem>
#include <stop_token>
#include <string>
#include <vector>

#include "cli/session/whole_file.h"
#include "renderer/expose/expose.h"
#include "scene/keys/override.h"

namespace lampflight {

enum class SampleType { half, full };

/// All that a file of layers is made from.
struct LayersSource {
    const Shoot& shoot;  ///< its camera at the picture's size
    const std::vector<ExposedTake>& takes;
    std::string scene_text;
    std::string scene_name;
    std::vector<Override> changes;
    RenderSettings settings;
};

/// Writes the file whole or not at all. Of `half`, parts are still written in full where half is
/// too small: above 65504 lux seconds, or for takes at more than ISO 12800, whose shadows come near
/// to its steps of 6e-8 lux seconds.
Expected<Done> write_layers(const std::filesystem::path& file, const LayersSource& source,
                            SampleType type, const std::stop_token& stop);

}  // namespace lampflight
