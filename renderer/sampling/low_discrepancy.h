// Low-discrepancy sequences and hashes: even placement of samples by fixed functions of an index.
#pragma once

#include <array>
#include <cmath>
#include <cstdint>

#include <glm/glm.hpp>

namespace lampflight {

/// Fractional part, in [0, 1).
inline float fraction(float value) {
    return value - std::floor(value);
}

/// Additive recurrences with the golden ratio and its plane analogue, 1/p and 1/p^2 for the real
/// root of p^3 = p + 1.
constexpr float golden_step = 0.61803399f;
constexpr glm::vec2 plane_steps{0.75487767f, 0.56984029f};

inline float golden_place(std::uint32_t index, float shift = 0.0f) {
    return fraction(shift + static_cast<float>(index & 0xffffu) * golden_step);
}

inline glm::vec2 plane_place(std::uint32_t index, const glm::vec2& shift = glm::vec2(0.0f)) {
    const auto n = static_cast<float>(index & 0xfffu);
    return {fraction(shift.x + n * plane_steps.x), fraction(shift.y + n * plane_steps.y)};
}

/// Order in which the lanes of a 4 x 4 block fill an interval: neighbours lie far apart (the
/// classic ordered dither, Bayer 1973).
constexpr std::array<std::uint32_t, 16> dither_rank{0, 8,  2, 10, 12, 4, 14, 6,
                                                    3, 11, 1, 9,  15, 7, 13, 5};

/// A lane's place in [0, 1), sixteenths apart over a block.
inline float dither_place(int lane) {
    return (static_cast<float>(dither_rank[static_cast<std::size_t>(lane)]) + 0.5f) / 16.0f;
}

/// 32 well-mixed bits of two indices.
inline std::uint32_t hash_of(std::uint32_t a, std::uint32_t b) {
    std::uint32_t h = a * 0x9e3779b1u ^ (b * 0x85ebca77u + 0x165667b1u);
    h ^= h >> 15;
    h *= 0x2c1b3c6du;
    h ^= h >> 12;
    h *= 0x297a2d39u;
    h ^= h >> 15;
    return h;
}

/// The hash as a number in [0, 1).
inline float hashed_place(std::uint32_t a, std::uint32_t b) {
    return static_cast<float>(hash_of(a, b) >> 8) * 0x1p-24f;
}

}  // namespace lampflight
