// The whole of a plain file as text, or why there is none.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <variant>

namespace lampflight {

/// Why a file gives no text.
struct FileFault {
    enum class Kind { absent, no_plain_file, unreadable, too_large };

    Kind kind;
    std::string what;  ///< "a named pipe", the system's reason, "1.2 GB"; empty where absent
    std::uintmax_t bytes = 0;  ///< of one that is too large
};

using FileText = std::variant<std::string, FileFault>;

/// Never waits: a pipe or a device is refused by its kind, before a byte is read. A file that grows
/// while it is read ends at its limit as well.
FileText text_of_file(const std::filesystem::path& file, std::uintmax_t most_bytes);

/// "a folder", "a named pipe", "a device", …; of a link, what it leads to. Empty for a plain file
/// and for what is not there.
std::string kind_of_file(const std::filesystem::path& file);

}  // namespace lampflight
