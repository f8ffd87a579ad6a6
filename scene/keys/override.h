// One change to a scene file from outside it.
#pragma once

#include <string>

namespace lampflight {

/// One `--set key=value`: `camera.iso=800`, `flight.halo.radius_m=7` (tables of a kind by name).
/// Without a value it takes the key away.
struct Override {
    std::string key;
    std::string value;
};

}  // namespace lampflight
