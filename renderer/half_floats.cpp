#include "renderer/half_floats.h"

#include <bit>
#include <cstdint>
#include <cstring>

namespace lampflight {

static_assert(std::endian::native == std::endian::little);

void floats_from_halves(const char* halves, std::size_t count, float* to) {
    // Exponent and fraction go where a float has them; its exponent counts from 112 lower.
    // Subnormal halves are a difference of floats that are not: some threads take subnormal floats
    // for 0. No branch, so that compilers make it wide.
    constexpr std::uint32_t rebias = 112u << 23;
    constexpr std::uint32_t least_normal = 113u << 23;
    for (std::size_t i = 0; i < count; ++i) {
        std::uint16_t half;
        std::memcpy(&half, halves + 2 * i, sizeof half);
        const std::uint32_t bits = half;
        const std::uint32_t size_bits = bits & 0x7fffu;
        const float normal = std::bit_cast<float>((size_bits << 13) + rebias);
        const float subnormal = std::bit_cast<float>((size_bits << 13) + least_normal) -
                                std::bit_cast<float>(least_normal);
        const float size = size_bits < 0x400u ? subnormal : normal;
        to[i] = std::bit_cast<float>(std::bit_cast<std::uint32_t>(size) | (bits & 0x8000u) << 16);
    }
}

}  // namespace lampflight
