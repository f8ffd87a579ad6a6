// Cautions: what can hurt someone or spoil the evening, drawn from the shoot's own numbers.
#pragma once

#include <string>
#include <vector>

#include "scene/shoot/placed_shoot.h"

namespace lampflight {

enum class CautionLevel { note, care, danger };

struct Caution {
    /// "people", "subject", "drones", "night", "rules", "airspace", "sight", "sensing", "return",
    /// "load", "heat", "battery", "eyes", "glare", "height", "speed", "frame", "lap", "lamp",
    /// "flight", "time", "flashes", "focus", "lens", "shadow", "daylight", "place", "camera",
    /// "lights", "wind" or "exposure".
    std::string about;
    CautionLevel level;
    std::string text;
};

/// Of every take, the gravest first, alike ones as one with a count. The limits are common practice
/// and no law: what is allowed must be looked up where the flight takes place.
std::vector<Caution> cautions(const PlacedShoot& shoot);

}  // namespace lampflight
