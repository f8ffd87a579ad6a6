// Input guard: looks over a scene's text before it is parsed, so that none can wear the parser out.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "scene/basics/problem.h"

namespace lampflight {

/// The first thing that makes a text unfit to parse as TOML: too large, a byte that no text holds,
/// not UTF-8, or keys or brackets nested deeper than a scene ever needs.
std::optional<Problem> unfit_text(std::string_view text, const std::string& name);

}  // namespace lampflight
