// What `meter` tells: as tables, as JSON.
#pragma once

#include <string>

#include "renderer/meter/meter.h"

namespace lampflight {

/// Tables to read, in lines of at most `width` characters.
std::string meter_text(const Shoot& shoot, const MeterReading& reading, std::size_t width);

/// One JSON object, ending in a newline. Names are a contract: added to, never renamed.
std::string meter_json(const Shoot& shoot, const MeterReading& reading);

}  // namespace lampflight
