#include "scene/noise.h"

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

/// One of the components of a hashed gradient, in [-1, 1]: ten bits from `shift` on.
double component(std::uint32_t bits, int shift) {
    return static_cast<double>(static_cast<std::int32_t>((bits >> shift) & 1023u)) *
               (2.0 / 1023.0) -
           1.0;
}

}  // namespace

std::uint32_t hash_cell(std::int32_t x, std::int32_t y, std::int32_t z, std::uint32_t seed) {
    return hash_z(hash_y(hash_x(x, seed), y), z);
}

double hash_share(std::int32_t x, std::int32_t y, std::int32_t z, std::uint32_t seed) {
    return static_cast<double>(hash_cell(x, y, z, seed)) * (1.0 / 4294967296.0);
}

double gradient_noise(const Vec2& place, std::uint32_t seed) {
    const InCell x(place.x), y(place.y);
    double row[2];
    const std::uint32_t left = hash_x(x.cell, seed), right = hash_x(x.cell + 1, seed);
    const double u = fade(x.rest);
    for (int j = 0; j < 2; ++j) {
        const double dy = y.rest - j;
        const auto corner = [&](std::uint32_t h, double dx) {
            const std::uint32_t bits = hash_z(hash_y(h, y.cell + j), 0);
            return component(bits, 0) * dx + component(bits, 10) * dy;
        };
        row[j] = mix(corner(left, x.rest), corner(right, x.rest - 1.0), u);
    }
    return mix(row[0], row[1], fade(y.rest)) * (1.0 / plain_rms_2d);
}

double gradient_noise(const Vec3& place, std::uint32_t seed) {
    const InCell x(place.x), y(place.y), z(place.z);
    const std::uint32_t left = hash_x(x.cell, seed), right = hash_x(x.cell + 1, seed);
    const double u = fade(x.rest), w = fade(z.rest);
    double row[2];
    for (int j = 0; j < 2; ++j) {
        const double dy = y.rest - j;
        const auto edge = [&](std::uint32_t h, double dx) {
            h = hash_y(h, y.cell + j);
            const auto corner = [&](int k) {
                const std::uint32_t bits = hash_z(h, z.cell + k);
                return component(bits, 0) * dx + component(bits, 10) * dy +
                       component(bits, 20) * (z.rest - k);
            };
            return mix(corner(0), corner(1), w);
        };
        row[j] = mix(edge(left, x.rest), edge(right, x.rest - 1.0), u);
    }
    return mix(row[0], row[1], fade(y.rest)) * (1.0 / plain_rms_3d);
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
