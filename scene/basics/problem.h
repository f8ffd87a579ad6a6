// Diagnostics: what is wrong with a scene file; a value that is either sound or a list of problems.
#pragma once

#include <string>
#include <variant>
#include <vector>

namespace lampflight {

/// One problem: `file:line:column: text`. A problem of `--set` has the override as its file and
/// line 0.
struct Problem {
    std::string file;
    int line = 0;
    int column = 0;
    std::string text;
};

/// "file:line:column: text", or "file: text" where there is no line.
std::string to_string(const Problem& problem);

template <class Value>
using Checked = std::variant<Value, std::vector<Problem>>;

}  // namespace lampflight
