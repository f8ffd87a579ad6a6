// `lampflight render`: the photograph as a file.
#pragma once

#include <filesystem>

#include "cli/layers/write_layers.h"
#include "cli/session/expose_scene.h"

namespace lampflight {

struct RenderOptions {
    ExposeOptions expose;
    std::filesystem::path picture;
    bool clean = false;            ///< no noise of the sensor
    std::filesystem::path layers;  ///< empty for none
    SampleType layer_samples = SampleType::half;
};

/// The longer side of a picture when no size is asked for: small for a draft, the sensor's own
/// when fine.
int longer_side_px(Quality quality);

Outcome run_render(const RenderOptions& options, const Session& session);

}  // namespace lampflight
