// Slips of the hand in a text that is not TOML, told in the words of a scene file.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "scene/basics/problem.h"

namespace lampflight {

/// The first fault that the parser finds in a text, with its place there; nothing if it is TOML.
using FindFault = std::function<std::optional<Problem>(const std::string& text)>;

/// What is wrong with a text that the parser refuses with `fault`: statement by statement, as far
/// as each can be told by itself, with what to write instead where the slip is known; else what the
/// parser says. `name` is the file's.
std::vector<Problem> syntax_slips(const std::string& text, const std::string& name,
                                  const Problem& fault, const FindFault& find_fault);

}  // namespace lampflight
