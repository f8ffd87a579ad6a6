// The whole of a plain file as text.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

namespace lampflight {

/// Nothing for what is no plain file, can't be read, or is larger than so many bytes.
std::optional<std::string> text_of_file(const std::filesystem::path& file,
                                        std::uintmax_t most_bytes);

}  // namespace lampflight
