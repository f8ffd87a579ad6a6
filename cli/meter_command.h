// `lampflight meter`: the film's exposure where it matters, in stops from mid-grey.
#pragma once

#include "cli/expose_scene.h"
#include "renderer/meter.h"

namespace lampflight {

struct MeterOptions {
    ExposeOptions expose;
    bool json = false;
};

Outcome run_meter(const MeterOptions& options, const Session& session);

/// Tables to read. Stops of layers need the ISO of the take that each reading comes from.
std::string meter_text(const Shoot& shoot, const MeterReading& reading);

/// One JSON object, ending in a newline. Names are a contract: added to, never renamed.
std::string meter_json(const MeterReading& reading);

}  // namespace lampflight
