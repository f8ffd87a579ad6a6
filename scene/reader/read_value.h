// From one value of a scene file to one field of the shoot, by the key's row of the table.
#pragma once

#include <string>
#include <vector>

#include "scene/basics/problem.h"
#include "scene/keys/key_table.h"
#include "scene/reader/scene_text.h"

namespace lampflight {

/// Most characters of a text, most names in a list.
constexpr std::size_t longest_text = 200;
constexpr std::size_t longest_list = 200;

/// Stores a value, or adds what is wrong with it to the problems and returns false. A text that
/// breaks a rule is stored all the same, so that others may still refer to it. `label` is what
/// messages call the value: `"iso" in [camera]`.
bool read_value(const SceneValue& value, const Key& key, const std::string& label,
                const Field& field, std::vector<Problem>& problems);

/// A value in words: `the text "abc"`, `3`, `a list of 2 values`.
std::string found_text(const SceneValue& value);

}  // namespace lampflight
