// Random deviates as fixed functions of an index: no state, so that neither threads nor order
// enter.
#pragma once

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstddef>
#include <cstdint>

#include "renderer/sampling/low_discrepancy.h"

namespace lampflight {

/// A number in (0, 1), neither end included, of 2^23 values in even steps.
inline float hashed_share(std::uint32_t index, std::uint32_t key) {
    return (static_cast<float>(hash_of(index, key) >> 9) + 0.5f) * 0x1p-23f;
}

/// Natural logarithm of a normal float above none, to 1e-7 of its size or of one. The mantissa goes
/// between the root of a half and that of two, where log m = 2 artanh((m - 1) / (m + 1)) is short.
inline float fast_log(float value) {
    constexpr std::uint32_t half_root_bits = 0x3f3504f3u;
    const std::uint32_t shifted = std::bit_cast<std::uint32_t>(value) - half_root_bits;
    const auto exponent = static_cast<std::int32_t>(shifted) >> 23;
    const float m = std::bit_cast<float>((shifted & 0x007fffffu) + half_root_bits);
    const float s = (m - 1.0f) / (m + 1.0f);
    const float q = s * s;
    const float series = 1.0f + q * (1.0f / 3.0f + q * (0.2f + q * (1.0f / 7.0f + q / 9.0f)));
    return static_cast<float>(exponent) * 0.69314718f + 2.0f * s * series;
}

/// Quantile of the standard normal distribution at a share in (0, 1): root of two times the inverse
/// error function by the single-precision polynomials of Giles 2012 (Approximating the erfinv
/// function, GPU Computing Gems, Jade edition, chapter 10, table 10.2).
inline float normal_quantile(float share) {
    const float x = 2.0f * share - 1.0f;
    const float w = -fast_log(4.0f * share * (1.0f - share));
    const float c = w - 2.5f;
    float centre = 2.81022636e-08f;
    centre = 3.43273939e-07f + centre * c;
    centre = -3.5233877e-06f + centre * c;
    centre = -4.39150654e-06f + centre * c;
    centre = 0.00021858087f + centre * c;
    centre = -0.00125372503f + centre * c;
    centre = -0.00417768164f + centre * c;
    centre = 0.246640727f + centre * c;
    centre = 1.50140941f + centre * c;
    const float t = std::sqrt(w > 0.0f ? w : 0.0f) - 3.0f;
    float tail = -0.000200214257f;
    tail = 0.000100950558f + tail * t;
    tail = 0.00134934322f + tail * t;
    tail = -0.00367342844f + tail * t;
    tail = 0.00573950773f + tail * t;
    tail = -0.0076224613f + tail * t;
    tail = 0.00943887047f + tail * t;
    tail = 1.00167406f + tail * t;
    tail = 2.83297682f + tail * t;
    return 1.41421356f * x * (w < 5.0f ? centre : tail);
}

/// exp(-x) for x from 0 to most_exact_mean, to 1e-6 of its size: the sixteenth power of a series.
constexpr float most_exact_mean = 6.0f;
inline float exp_of_minus(float x) {
    const float t = x * (-1.0f / 16.0f);
    float e = 1.0f + t * (1.0f / 6.0f);
    e = 1.0f + t * (1.0f / 5.0f) * e;
    e = 1.0f + t * (1.0f / 4.0f) * e;
    e = 1.0f + t * (1.0f / 3.0f) * e;
    e = 1.0f + t * (1.0f / 2.0f) * e;
    e = 1.0f + t * e;
    e *= e, e *= e, e *= e;
    return e * e;
}

/// Quantiles of the Poisson distribution for means up to most_exact_mean, side by side: the sums of
/// its terms. The chance of more than are summed here is below 1e-7.
template <std::size_t count>
void poisson_quantiles(const std::array<float, count>& mean, const std::array<float, count>& share,
                       std::array<float, count>& quantile) {
    constexpr int terms = 24;
    std::array<float, count> term;
    for (std::size_t i = 0; i < count; ++i) term[i] = exp_of_minus(mean[i]);
    std::array<float, count> reached = term;
    quantile.fill(0.0f);
    for (int k = 1; k <= terms; ++k) {
        const float over_k = 1.0f / static_cast<float>(k);
        for (std::size_t i = 0; i < count; ++i) {
            quantile[i] += share[i] > reached[i] ? 1.0f : 0.0f;
            term[i] *= mean[i] * over_k;
            reached[i] += term[i];
        }
    }
}

/// The same for larger means, from the normal deviate of the same share: expansion about the
/// normal, rounded down (Giles 2016, Algorithm 955, ACM Transactions on Mathematical Software 42).
inline float poisson_from_normal(float mean, float normal) {
    const float root = std::sqrt(mean);
    const float square = normal * normal;
    const float count = mean + root * normal + (1.0f / 3.0f + square / 6.0f) -
                        normal * (1.0f / 36.0f + square / 72.0f) / root;
    return std::floor(std::max(count, 0.0f));
}

}  // namespace lampflight
