#include "cli/png_chunks.h"

#include <zlib.h>

#include <algorithm>

#include "cli/big_endian.h"

namespace lampflight {
namespace {

bool is_ascii(std::string_view text) {
    return std::ranges::all_of(text, [](char byte) { return static_cast<signed char>(byte) > 0; });
}

}  // namespace

std::string png_chunk(std::string_view type, const std::function<bool(std::string&)>& fill) {
    constexpr std::size_t length_bytes = 4;
    std::string chunk(length_bytes, '\0');
    chunk.append(type);
    if (!fill(chunk)) return "";
    const std::size_t length = chunk.size() - length_bytes - type.size();
    chunk.replace(0, length_bytes, big_endian(static_cast<std::uint32_t>(length)));
    const uLong sum =
        crc32(crc32(0, nullptr, 0), reinterpret_cast<const Bytef*>(chunk.data() + length_bytes),
              static_cast<uInt>(chunk.size() - length_bytes));
    return chunk.append(big_endian(static_cast<std::uint32_t>(sum)));
}

std::string png_chunk(std::string_view type, std::string_view data) {
    return png_chunk(type, [&](std::string& chunk) {
        chunk += data;
        return true;
    });
}

std::string png_text_chunk(std::string_view keyword, std::string_view text) {
    using namespace std::string_view_literals;
    std::string data(keyword);
    if (is_ascii(text)) return png_chunk("tEXt", data.append("\0"sv).append(text));
    // Not compressed, method 0, no language stated, no keyword translated.
    return png_chunk("iTXt", data.append("\0\0\0\0\0"sv).append(text));
}

}  // namespace lampflight
