#include "cli/pictures/png_text.h"

#include <algorithm>
#include <cstdint>

#include "cli/pictures/deflate.h"

namespace lampflight {
namespace {

std::string big_endian(std::uint32_t number) {
    std::string bytes;
    for (const int shift : {24, 16, 8, 0}) bytes.push_back(static_cast<char>(number >> shift));
    return bytes;
}

std::string chunk(std::string_view type, const std::string& data) {
    std::string summed = std::string(type) + data;
    const std::uint32_t sum = checksum_for_png(reinterpret_cast<unsigned char*>(summed.data()),
                                               static_cast<int>(summed.size()));
    return big_endian(static_cast<std::uint32_t>(data.size())) + summed + big_endian(sum);
}

bool is_ascii(std::string_view text) {
    return std::ranges::all_of(text, [](char byte) { return static_cast<signed char>(byte) > 0; });
}

}  // namespace

std::string png_text_chunk(std::string_view keyword, std::string_view text) {
    using namespace std::string_view_literals;
    std::string data(keyword);
    if (is_ascii(text)) return chunk("tEXt", data.append("\0"sv).append(text));
    // Not compressed, method 0, no language stated, no keyword translated.
    return chunk("iTXt", data.append("\0\0\0\0\0"sv).append(text));
}

}  // namespace lampflight
