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

/// One of the components of a hashed gradient, in [-1, 1]: ten bits from `shift` on.
double component(std::uint32_t bits, int shift) {
    return static_cast<double>((bits >> shift) & 1023u) * (2.0 / 1023.0) - 1.0;
}

double corner(std::int32_t x, std::int32_t y, std::uint32_t seed, double dx, double dy) {
    const std::uint32_t bits = hash_cell(x, y, 0, seed);
    return component(bits, 0) * dx + component(bits, 10) * dy;
}

double corner(std::int32_t x, std::int32_t y, std::int32_t z, std::uint32_t seed, const Vec3& d) {
    const std::uint32_t bits = hash_cell(x, y, z, seed);
    return component(bits, 0) * d.x + component(bits, 10) * d.y + component(bits, 20) * d.z;
}

}  // namespace

std::uint32_t hash_cell(std::int32_t x, std::int32_t y, std::int32_t z, std::uint32_t seed) {
    std::uint32_t h = seed * 0x9e3779b9u + static_cast<std::uint32_t>(x) * 0x85ebca6bu;
    h ^= h >> 15;
    h = h * 0x2c1b3c6du + static_cast<std::uint32_t>(y) * 0xc2b2ae35u;
    h ^= h >> 13;
    h = h * 0x297a2d39u + static_cast<std::uint32_t>(z) * 0x27d4eb2fu;
    h ^= h >> 16;
    h *= 0x7feb352du;
    return h ^ (h >> 15);
}

double hash_share(std::int32_t x, std::int32_t y, std::int32_t z, std::uint32_t seed) {
    return static_cast<double>(hash_cell(x, y, z, seed)) * (1.0 / 4294967296.0);
}

double gradient_noise(const Vec2& place, std::uint32_t seed) {
    const double floor_x = std::floor(place.x), floor_y = std::floor(place.y);
    const auto x = static_cast<std::int32_t>(floor_x), y = static_cast<std::int32_t>(floor_y);
    const double dx = place.x - floor_x, dy = place.y - floor_y;
    const double u = fade(dx);
    const double low = mix(corner(x, y, seed, dx, dy), corner(x + 1, y, seed, dx - 1.0, dy), u);
    const double high = mix(corner(x, y + 1, seed, dx, dy - 1.0),
                            corner(x + 1, y + 1, seed, dx - 1.0, dy - 1.0), u);
    return mix(low, high, fade(dy)) * (1.0 / plain_rms_2d);
}

double gradient_noise(const Vec3& place, std::uint32_t seed) {
    const Vec3 cell = glm::floor(place);
    const auto x = static_cast<std::int32_t>(cell.x), y = static_cast<std::int32_t>(cell.y),
               z = static_cast<std::int32_t>(cell.z);
    const Vec3 d = place - cell;
    const double u = fade(d.x), v = fade(d.y), w = fade(d.z);
    double layer[2];
    for (int k = 0; k < 2; ++k) {
        const double dz = d.z - k;
        const double low = mix(corner(x, y, z + k, seed, {d.x, d.y, dz}),
                               corner(x + 1, y, z + k, seed, {d.x - 1.0, d.y, dz}), u);
        const double high = mix(corner(x, y + 1, z + k, seed, {d.x, d.y - 1.0, dz}),
                                corner(x + 1, y + 1, z + k, seed, {d.x - 1.0, d.y - 1.0, dz}), u);
        layer[k] = mix(low, high, v);
    }
    return mix(layer[0], layer[1], w) * (1.0 / plain_rms_3d);
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
