// The last look at light before it becomes a file: whether every value is a number.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "renderer/film/exposed_take.h"

namespace lampflight {

/// Neither infinite nor NaN, all of them.
bool all_finite(ConstRow row);

/// A layer that holds what is no number, such as `"warm surface" of take "one"`; nothing where
/// all is sound, as it is unless the program has a fault.
std::optional<std::string> unsound_layer(const std::vector<ExposedTake>& takes);

}  // namespace lampflight
