// What `check` tells: as tables, as JSON.
#pragma once

#include <string>

#include "cli/session/memory_bounds.h"
#include "scene/planning/shoot_figures.h"

namespace lampflight {

/// "sinks through", "stays above", "stays below".
const char* passing_word(Passing passing);

/// "sunset", "end of civil dusk", "sun -8 deg"; likewise of a morning.
std::string sun_passage_words(const SunPassage& passage);

/// "note", "care", "danger".
const char* level_word(CautionLevel level);

/// "legible", "coarse", "a blot".
const char* legibility_word(Legibility legibility);

/// Tables to read, in lines of at most `width` characters.
std::string check_text(const ShootFigures& figures, const RenderNeed& render, std::size_t width);

/// One JSON object, ending in a newline. Names are a contract: added to, never renamed.
std::string check_json(const ShootFigures& figures, const RenderNeed& render);

}  // namespace lampflight
