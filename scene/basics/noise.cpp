#include "scene/basics/noise.h"

#include <algorithm>
#include <cmath>

namespace lampflight {

namespace {

// Mean square of the unscaled sums below, by integrating the squared weights over one cell.
constexpr double plain_rms_2d = 0.176127;
constexpr double plain_rms_3d = 0.190944;

double fade(double t) {
    return t * t * t * (t * (6.0 * t - 15.0) + 10.0);
}

double mix(double a, double b, double t) {
    return a + (b - a) * t;
}

/// A coordinate as the number of its cell and the rest in [0, 1). Without a call to std::floor,
/// which costs as much as the noise where the processor has no instruction for it.
struct InCell {
    std::int32_t cell;
    double rest;

    explicit InCell(double value) : cell(static_cast<std::int32_t>(value)) {
        if (value < cell) --cell;
        rest = value - cell;
    }
};

// The hash goes one axis at a time, so that neighbouring corners share the first steps.
std::uint32_t hash_x(std::int32_t x, std::uint32_t seed) {
    const std::uint32_t h = seed * 0x9e3779b9u + static_cast<std::uint32_t>(x) * 0x85ebca6bu;
    return (h ^ (h >> 15)) * 0x2c1b3c6du;
}

std::uint32_t hash_y(std::uint32_t h, std::int32_t y) {
    h += static_cast<std::uint32_t>(y) * 0xc2b2ae35u;
    return (h ^ (h >> 13)) * 0x297a2d39u;
}

std::uint32_t hash_z(std::uint32_t h, std::int32_t z) {
    h += static_cast<std::uint32_t>(z) * 0x27d4eb2fu;
    h = (h ^ (h >> 16)) * 0x7feb352du;
    return h ^ (h >> 15);
}

using Bits4 = std::uint32_t __attribute__((vector_size(16)));
using Ints4 = std::int32_t __attribute__((vector_size(16)));
using Doubles4 = double __attribute__((vector_size(32)));

/// One of the components of hashed gradients, in [-1, 1]: the lowest ten bits.
inline __attribute__((always_inline)) void set_component(const Bits4& bits, Doubles4& value) {
    const auto whole = (Ints4)(bits & 1023u);
    value = __builtin_convertvector(whole, Doubles4) * (2.0 / 1023.0) - 1.0;
}

}  // namespace

std::uint32_t hash_cell(std::int32_t x, std::int32_t y, std::int32_t z, std::uint32_t seed) {
    return hash_z(hash_y(hash_x(x, seed), y), z);
}

double hash_share(std::int32_t x, std::int32_t y, std::int32_t z, std::uint32_t seed) {
    return static_cast<double>(hash_cell(x, y, z, seed)) * (1.0 / 4294967296.0);
}

// All corners of a cell side by side. No clone may fuse multiplications and additions: the numbers
// are the same on every machine.
#if defined(__x86_64__) && !defined(__SANITIZE_ADDRESS__)
#define LAMPFLIGHT_ALSO_FOR_AVX2 __attribute__((target_clones("avx2", "default")))
#else
#define LAMPFLIGHT_ALSO_FOR_AVX2
#endif

LAMPFLIGHT_ALSO_FOR_AVX2
double gradient_noise(const Vec2& place, std::uint32_t seed) {
    const InCell x(place.x), y(place.y);
    const std::uint32_t left = hash_x(x.cell, seed), right = hash_x(x.cell + 1, seed);
    const auto low = static_cast<std::uint32_t>(y.cell);
    Bits4 h{left, right, left, right};
    h += Bits4{low, low, low + 1, low + 1} * 0xc2b2ae35u;
    h = (h ^ (h >> 13)) * 0x297a2d39u;
    h = (h ^ (h >> 16)) * 0x7feb352du;
    h ^= h >> 15;
    Doubles4 gx, gy;
    set_component(h, gx);
    set_component(h >> 10, gy);
    const Doubles4 dx{x.rest, x.rest - 1.0, x.rest, x.rest - 1.0};
    const Doubles4 dy{y.rest, y.rest, y.rest - 1.0, y.rest - 1.0};
    const Doubles4 value = gx * dx + gy * dy;
    const double u = fade(x.rest);
    return mix(mix(value[0], value[1], u), mix(value[2], value[3], u), fade(y.rest)) *
           (1.0 / plain_rms_2d);
}

LAMPFLIGHT_ALSO_FOR_AVX2
double gradient_noise(const Vec3& place, std::uint32_t seed) {
    const InCell x(place.x), y(place.y), z(place.z);
    const std::uint32_t left = hash_x(x.cell, seed), right = hash_x(x.cell + 1, seed);
    const auto near = static_cast<std::uint32_t>(y.cell), low = static_cast<std::uint32_t>(z.cell);
    Bits4 column{left, right, left, right};
    column += Bits4{near, near, near + 1, near + 1} * 0xc2b2ae35u;
    column = (column ^ (column >> 13)) * 0x297a2d39u;
    const Doubles4 dx{x.rest, x.rest - 1.0, x.rest, x.rest - 1.0};
    const Doubles4 dy{y.rest, y.rest, y.rest - 1.0, y.rest - 1.0};
    Doubles4 level[2];
    for (std::uint32_t k = 0; k < 2; ++k) {
        Bits4 h = column + (low + k) * 0x27d4eb2fu;
        h = (h ^ (h >> 16)) * 0x7feb352du;
        h ^= h >> 15;
        Doubles4 gx, gy, gz;
        set_component(h, gx);
        set_component(h >> 10, gy);
        set_component(h >> 20, gz);
        level[k] = gx * dx + gy * dy + gz * (z.rest - k);
    }
    const Doubles4 value = level[0] + (level[1] - level[0]) * fade(z.rest);
    const double u = fade(x.rest);
    return mix(mix(value[0], value[1], u), mix(value[2], value[3], u), fade(y.rest)) *
           (1.0 / plain_rms_3d);
}

double fractal_noise(const Vec3& place, int octaves, double gain, std::uint32_t seed) {
    double sum = 0.0, squares = 0.0, strength = 1.0, frequency = 1.0;
    for (int octave = 0; octave < octaves; ++octave) {
        sum +=
            strength * gradient_noise(place * frequency, seed + static_cast<std::uint32_t>(octave));
        squares += strength * strength;
        strength *= gain;
        frequency *= 2.0;
    }
    return squares > 0.0 ? sum / std::sqrt(squares) : 0.0;
}

double smooth_step(double from, double to, double value) {
    const double t = std::clamp((value - from) / (to - from), 0.0, 1.0);
    return t * t * (3.0 - 2.0 * t);
}

}  // namespace lampflight
