// Numbers as PNG and zlib write them.
#pragma once

#include <cstdint>
#include <string>

namespace lampflight {

/// Four bytes, the highest first.
inline std::string big_endian(std::uint32_t number) {
    std::string bytes;
    for (const int shift : {24, 16, 8, 0}) bytes.push_back(static_cast<char>(number >> shift));
    return bytes;
}

}  // namespace lampflight
