// What a file of layers holds, as the text that stands in its header: the scene it was made from,
// and which of the file's films make up each take's layers.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include <glm/glm.hpp>

#include "renderer/expose/expose.h"
#include "scene/keys/override.h"

namespace lampflight {

/// A film as wide as the frame: three channels "LAYER.R", "LAYER.G", "LAYER.B" of a part, dark
/// where the part has no rows. Lux seconds of the take are the channels' values times the scale,
/// which is 1 in the first take that has the film.
struct FilmInFile {
    std::string part;
    double scale = 1.0;
};

/// A trail by the sensor's own pixels: one column for each pixel of the picture that light
/// reached, in a part of its own.
struct TrailInFile {
    std::string part;  ///< empty where light reached none
    std::int64_t reached_pixels = 0;
    int parts_across = 1;  ///< of a pixel of the picture
};

struct LayerInFile {
    LayerId id;
    std::vector<FilmInFile> films = {};
    std::optional<TrailInFile> trail = {};
};

struct TakeInFile {
    std::string name;
    std::vector<LayerInFile> layers = {};
};

struct LayersManifest {
    std::string program_version;
    std::string scene_name;  ///< of the scene file, for messages
    std::vector<Override> changes;
    PathFiles path_files;     ///< that the scene names
    glm::ivec2 pixels{0, 0};  ///< of the picture
    RenderSettings settings;
    std::vector<TakeInFile> takes;
};

/// Raised with every change that an older reader would get wrong.
constexpr int layers_format = 1;

/// String attributes of the first part's header.
constexpr const char* layers_attribute = "lampflight.layers";
constexpr const char* scene_attribute = "lampflight.scene";

std::string manifest_text(const LayersManifest& manifest);

/// Throws UnfitLayers for what is wrong with the text. Names and sizes are only what they
/// are said to be: whoever uses them checks them against the file.
LayersManifest read_manifest(const std::string& text);

}  // namespace lampflight
