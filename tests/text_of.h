// A file's text, for tests that read files of their own.
#pragma once

#include <filesystem>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <string>

namespace lampflight {

inline std::string text_of(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    if (!stream) throw std::runtime_error("can't open " + file.string());
    return {std::istreambuf_iterator<char>(stream), {}};
}

}  // namespace lampflight
