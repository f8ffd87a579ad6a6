#include "renderer/half_floats.h"

#include <Imath/half.h>

#include <cstdint>
#include <cstring>

#ifdef __F16C__
#include <immintrin.h>
#endif

namespace lampflight {
namespace {

constexpr std::size_t half_bytes = sizeof(std::uint16_t);

std::uint16_t half_at(const char* halves, std::size_t i) {
    std::uint16_t bits;
    std::memcpy(&bits, halves + half_bytes * i, half_bytes);
    return bits;
}

}  // namespace

void floats_from_halves(const void* halves, std::size_t count, float* to) {
    const auto* const from = static_cast<const char*>(halves);
    std::size_t i = 0;
#ifdef __F16C__
    // What Imath does for one where the processor can do it, for eight.
    for (; i + 8 <= count; i += 8) {
        __m128i eight;
        std::memcpy(&eight, from + half_bytes * i, sizeof eight);
        _mm256_storeu_ps(to + i, _mm256_cvtph_ps(eight));
    }
#endif
    for (; i < count; ++i) to[i] = imath_half_to_float(half_at(from, i));
}

}  // namespace lampflight
