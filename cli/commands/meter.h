// `lampflight meter`: the film's exposure where it matters, in stops from mid-grey.
#pragma once

#include <filesystem>

#include "cli/session/expose_scene.h"
#include "renderer/meter/meter.h"

namespace lampflight {

struct MeterOptions {
    ExposeOptions expose;
    bool json = false;
    std::filesystem::path overlay = {};  ///< picture of the exposure to write; empty for none
};

Outcome run_meter(const MeterOptions& options, const Session& session);

/// Tables to read, at most 100 characters wide where the names allow it.
std::string meter_text(const Shoot& shoot, const MeterReading& reading);

/// One JSON object, ending in a newline. Names are a contract: added to, never renamed.
std::string meter_json(const Shoot& shoot, const MeterReading& reading);

}  // namespace lampflight
