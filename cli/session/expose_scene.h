// What `render` and `meter` share: a scene opened, sized and exposed under the user's eye.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include <glm/glm.hpp>

#include "cli/session/open_scene.h"
#include "renderer/expose/memory_need.h"

namespace lampflight {

struct ExposeOptions {
    SceneOptions scene;
    RenderSettings settings;
    std::optional<glm::ivec2> size_px;
    int longer_side_px = 960;           ///< of the picture when no size is asked for
    std::vector<std::string> takes;     ///< empty for those of the photograph
    bool quiet = false;                 ///< no progress
    std::optional<double> memory_gb{};  ///< that may be taken; else what the machine has
    PictureBytes picture{};             ///< what becomes of it
};

struct ExposedScene {
    PlacedShoot shoot;  ///< its camera at the picture's size
    std::vector<ExposedTake> takes;
};

/// The exposed takes, or why there are none: 1 for want of memory, 2 for an unknown take or a size
/// of another shape, 3 and 4 as `open_scene`, 130 when stopped.
Expected<ExposedScene> expose_scene(const ExposeOptions& options, const Session& session);

/// The same from the scene's text, which the caller keeps.
Expected<ExposedScene> expose_text(const std::string& text, const ExposeOptions& options,
                                   const Session& session);

/// The shoot from a scene's text, its camera at the picture's size; failures but for a stop.
Expected<PlacedShoot> sized_shoot(const std::string& text, const ExposeOptions& options);

/// The takes of such a shoot, exposed, every value a number; 130 when stopped.
Expected<std::vector<ExposedTake>> expose_takes(const PlacedShoot& shoot,
                                                const ExposeOptions& options,
                                                const Session& session);

}  // namespace lampflight
