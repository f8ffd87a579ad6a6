// Cautions: what can hurt someone or spoil the evening, drawn from the shoot's own numbers.
#pragma once

#include <string>
#include <vector>

#include "scene/shoot.h"

namespace lampflight {

enum class CautionLevel { note, care, danger };

struct Caution {
    std::string about;  ///< "people", "night", "eyes", "load", "airspace", "height", "frame", "lap", …
    CautionLevel level;
    std::string text;
};

std::vector<Caution> cautions(const Shoot& shoot);

}  // namespace lampflight
