// Text within PNG files: chunks of ISO/IEC 15948.
#pragma once

#include <string>
#include <string_view>

namespace lampflight {

/// A whole chunk, check sum and all: tEXt (11.3.4.3) where the text is ASCII, which every reader
/// knows, else iTXt (11.3.4.5), uncompressed UTF-8. The keyword is 1 to 79 letters and spaces.
std::string png_text_chunk(std::string_view keyword, std::string_view text);

}  // namespace lampflight
