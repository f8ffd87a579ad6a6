// Numbers with the highest byte first, as PNG and ICC profiles have them.
#pragma once

#include <cstdint>
#include <string>

namespace lampflight {

inline std::string big_endian(std::uint32_t number, int bytes = 4) {
    std::string text;
    for (int shift = 8 * (bytes - 1); shift >= 0; shift -= 8)
        text.push_back(static_cast<char>(number >> shift));
    return text;
}

}  // namespace lampflight
