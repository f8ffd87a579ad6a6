// Reference of scene files: every key with unit, range, default and meaning, in words.
#pragma once

#include <string>
#include <vector>

namespace lampflight {

struct KeyInfo {
    std::string table;     ///< "camera", "lamp", …; empty for the top of the file
    std::string name;      ///< within the table; dotted for a key of an inner table
    std::string kind;      ///< "number", "text", "3 numbers", …
    std::string unit;      ///< "mm", "lm", …; empty where none
    std::string allowed;   ///< range or choices in words
    std::string fallback;  ///< the default as it would be written; "required"; "none"
    std::string meaning;   ///< one sentence
};

/// Every key in the order of the reference page.
std::vector<KeyInfo> scene_keys();

}  // namespace lampflight
