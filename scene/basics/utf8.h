// UTF-8 (RFC 3629), character by character.
#pragma once

#include <cstddef>
#include <string_view>

namespace lampflight {

/// Length in bytes of the UTF-8 character at the start (no overlong forms, no surrogates), or 0.
std::size_t utf8_length(std::string_view text);

/// Whether all of a text is such characters.
bool is_utf8(std::string_view text);

}  // namespace lampflight
