// Compression for PNG: the zlib format (RFC 1950) in pieces, at a level made for noise.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>

namespace lampflight {

/// Adler-32 of some data, and its size.
struct DataSum {
    std::uint32_t checksum;
    std::size_t size;
};
DataSum sum_of(std::string_view data);

/// What stands before the first piece: deflate, window of 32 K, fastest.
constexpr std::string_view zlib_head = "\x78\x01";

/// Adds some data, packed, to a string, ended on a byte so that pieces can be strung together; the
/// last one ends them. Photographs of the night are mostly noise, where more search finds little.
/// False when memory runs out.
bool add_deflated(std::string_view data, bool is_last, std::string& to);

/// What stands behind the last piece: the checksum of the whole, from those of the pieces.
std::string zlib_tail(std::span<const DataSum> pieces);

}  // namespace lampflight
