// `lampflight retune`: the photograph developed anew from a file of layers.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cli/session/outcome.h"
#include "scene/keys/override.h"

namespace lampflight {

/// "warm=+1.5" or "warm=off".
struct LampChange {
    std::string lamp;
    std::optional<double> stops;  ///< nothing for off
};

struct RetuneOptions {
    std::filesystem::path layers;
    std::filesystem::path picture;
    std::vector<Override> changes;
    std::vector<LampChange> lamps;
    bool clean = false;  ///< no noise of the sensor
    bool quiet = false;
};

/// 2 for a change that needs a render, 3 for one that no scene allows, 4 for files.
Outcome run_retune(const RetuneOptions& options, const Session& session);

}  // namespace lampflight
