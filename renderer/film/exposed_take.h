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

/// In each layer sums the films that no other layer of these takes holds, so that a take of many
/// sets of subjects keeps one.
void sum_own_films(std::vector<ExposedTake>& takes);

}  // namespace lampflight
