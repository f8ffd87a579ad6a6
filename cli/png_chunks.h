// Chunks of PNG files (ISO/IEC 15948).
#pragma once

#include <functional>
#include <string>
#include <string_view>

namespace lampflight {

/// A whole chunk: length, type, data, check sum (5.3). The type is four letters.
std::string png_chunk(std::string_view type, std::string_view data);

/// The same around data that is made in its place: `fill` adds it to a string, and may fail. An
/// empty string then.
std::string png_chunk(std::string_view type, const std::function<bool(std::string&)>& fill);

/// A chunk of text: tEXt (11.3.4.3) where the text is ASCII, which every reader knows, else iTXt
/// (11.3.4.5), uncompressed UTF-8. The keyword is 1 to 79 letters and spaces.
std::string png_text_chunk(std::string_view keyword, std::string_view text);

}  // namespace lampflight
