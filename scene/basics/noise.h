// Gradient and fractal noise, seeded: from hashes of whole-number cells, alike on every machine.
#pragma once

#include <cstdint>

#include "scene/basics/vector.h"

namespace lampflight {

/// Mixes three cell numbers and a seed into 32 even bits.
std::uint32_t hash_cell(std::int32_t x, std::int32_t y, std::int32_t z, std::uint32_t seed);

/// The same as a number in [0, 1).
double hash_share(std::int32_t x, std::int32_t y, std::int32_t z, std::uint32_t seed);

/// Gradient noise over a lattice of spacing 1: mean 0, rms 1 over the lattice, and seldom beyond
/// +-3. Lattice, fade and idea: Perlin, "Improving noise", SIGGRAPH 2002; the gradients here are
/// hashed, with components even in [-1, 1].
double gradient_noise(const Vec2& place, std::uint32_t seed);
double gradient_noise(const Vec3& place, std::uint32_t seed);

/// Sum of gradient noises, each at twice the frequency and `gain` times the strength of the one
/// before; scaled to rms 1.
double fractal_noise(const Vec3& place, int octaves, double gain, std::uint32_t seed);

/// 0 below `from`, 1 above `to`, smooth between.
double smooth_step(double from, double to, double value);

}  // namespace lampflight
