// The film of one take before development.
#pragma once

#include <string>
#include <vector>

#include <glm/glm.hpp>

#include "renderer/film/layer.h"
#include "scene/camera/exposure.h"

namespace lampflight {

/// Layers of focal-plane exposure in lux seconds.
struct ExposedTake {
    std::string name;
    ExposureSettings settings;
    glm::ivec2 pixels;
    std::vector<Layer> layers;
};

}  // namespace lampflight
