#include "cli/pictures/png_text.h"

#include <libdeflate.h>

#include <algorithm>
#include <cstdint>

#include "cli/pictures/big_endian.h"

namespace lampflight {
namespace {

std::string chunk(std::string_view type, const std::string& data) {
    const std::string summed = std::string(type) + data;
    const std::uint32_t sum = libdeflate_crc32(0, summed.data(), summed.size());
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
