// What `check` tells: as tables, as JSON.
#pragma once

#include <string>

#include "scene/planning/shoot_figures.h"

namespace lampflight {

/// "sinks through", "stays above", "stays below".
const char* passing_word(Passing passing);

/// "note", "care", "danger".
const char* level_word(CautionLevel level);

/// Tables to read.
std::string check_text(const ShootFigures& figures);

/// One JSON object, ending in a newline. Names are a contract: added to, never renamed.
std::string check_json(const ShootFigures& figures);

}  // namespace lampflight
