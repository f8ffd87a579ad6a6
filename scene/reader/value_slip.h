// Slips of the hand in a value: what was meant, by the kind of value that its key wants.
#pragma once

#include <optional>
#include <string_view>

#include "scene/keys/key_table.h"
#include "scene/keys/quantity.h"

namespace lampflight {

/// Of what is written where a key's value should stand, without the comment behind it; or of a text
/// without its quotes, where the key wants no text. Nothing where it can't be told what was meant.
std::optional<Slip> value_slip(std::string_view written, const Key& key);

/// Of an inner table in braces: a brace, a comma or = that is missing, and slips in its values.
std::optional<Slip> inner_table_slip(std::string_view written, std::string_view table,
                                     std::string_view name);

}  // namespace lampflight
