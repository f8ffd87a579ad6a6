#include "scene/basics/text_of_file.h"

#include <fstream>
#include <sstream>
#include <system_error>
#include <utility>

namespace lampflight {

std::optional<std::string> text_of_file(const std::filesystem::path& file,
                                        std::uintmax_t most_bytes) {
    std::error_code error;
    if (!std::filesystem::is_regular_file(file, error)) return std::nullopt;
    if (std::filesystem::file_size(file, error) > most_bytes || error) return std::nullopt;
    std::ifstream stream(file, std::ios::binary);
    std::ostringstream text;
    text << stream.rdbuf();
    if (!stream) return std::nullopt;
    return std::move(text).str();
}

}  // namespace lampflight
