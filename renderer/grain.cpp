#include "renderer/grain.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "renderer/low_discrepancy.h"

namespace lampflight {
namespace {

/// One octave: a wave of this length, so steep and so strongly tinted (rms).
struct Octave {
    float wavelength_m;
    float slope;
    float tint;
};

// By eye from photographs of such surfaces under raking light, no source.
constexpr std::array<Octave, 6> soil{{{2.3f, 0.0f, 0.10f},
                                      {0.71f, 0.0f, 0.10f},
                                      {0.19f, 0.10f, 0.11f},
                                      {0.067f, 0.16f, 0.12f},
                                      {0.026f, 0.18f, 0.12f},
                                      {0.010f, 0.16f, 0.10f}}};
constexpr std::array<Octave, 5> stone{{{0.61f, 0.0f, 0.09f},
                                       {0.17f, 0.06f, 0.08f},
                                       {0.052f, 0.10f, 0.07f},
                                       {0.019f, 0.12f, 0.07f},
                                       {0.007f, 0.10f, 0.05f}}};
constexpr std::array<Octave, 3> cloth{
    {{0.11f, 0.05f, 0.03f}, {0.031f, 0.06f, 0.03f}, {0.008f, 0.05f, 0.03f}}};

std::span<const Octave> octaves_of(Grain grain) {
    switch (grain) {
        case Grain::soil: return soil;
        case Grain::stone: return stone;
        case Grain::cloth: return cloth;
        case Grain::none: break;
    }
    return {};
}

/// Value noise and its gradient.
struct Wave {
    float value;  ///< rms 1
    glm::vec3 slope;
};

float corner_value(int x, int y, int z) {
    const auto h = hash_of(static_cast<std::uint32_t>(x) * 0x27d4eb2fu ^ static_cast<std::uint32_t>(y),
                           static_cast<std::uint32_t>(z));
    return static_cast<float>(h >> 8) * 0x1p-23f - 1.0f;
}

/// Trilinear value noise with a quintic fade; the constant brings it to rms 1 (measured).
Wave value_noise(const glm::vec3& place) {
    const glm::vec3 cell = glm::floor(place);
    const glm::vec3 f = place - cell;
    const glm::vec3 s = f * f * f * (f * (f * 6.0f - 15.0f) + 10.0f);
    const glm::vec3 ds = 30.0f * f * f * (f * (f - 2.0f) + 1.0f);
    const int x = static_cast<int>(cell.x), y = static_cast<int>(cell.y),
              z = static_cast<int>(cell.z);
    std::array<float, 8> c;
    for (int i = 0; i < 8; ++i)
        c[static_cast<std::size_t>(i)] = corner_value(x + (i & 1), y + (i >> 1 & 1), z + (i >> 2));
    const auto mix = [](float a, float b, float t) { return a + t * (b - a); };
    const float x00 = mix(c[0], c[1], s.x), x10 = mix(c[2], c[3], s.x);
    const float x01 = mix(c[4], c[5], s.x), x11 = mix(c[6], c[7], s.x);
    const float y0 = mix(x00, x10, s.y), y1 = mix(x01, x11, s.y);
    const float along_x = mix(mix(c[1] - c[0], c[3] - c[2], s.y),
                              mix(c[5] - c[4], c[7] - c[6], s.y), s.z);
    constexpr float to_unit_rms = 2.9f;
    return {to_unit_rms * mix(y0, y1, s.z),
            to_unit_rms * ds *
                glm::vec3(along_x, mix(x10 - x00, x11 - x01, s.z), y1 - y0)};
}

constexpr float slope_rms_of_unit_wave = 3.0f;

}  // namespace

Grained with_grain(Grain grain, const glm::vec3& position_m, const glm::vec3& normal,
                   float patch_m) {
    float tint = 0.0f;
    glm::vec3 lean(0.0f);
    glm::vec3 offset(0.37f, 0.11f, 0.73f);
    for (const Octave& octave : octaves_of(grain)) {
        offset += glm::vec3(17.3f, 9.1f, 5.7f);
        const float held = std::clamp(octave.wavelength_m / (2.0f * patch_m) - 1.0f, 0.0f, 1.0f);
        // Beyond a few hundred metres single precision no longer resolves the waves, nor does the
        // film.
        if (held <= 0.0f) continue;
        const Wave wave = value_noise(position_m / octave.wavelength_m + offset);
        tint += held * octave.tint * wave.value;
        lean += held * octave.slope / slope_rms_of_unit_wave * wave.slope;
    }
    lean -= glm::dot(lean, normal) * normal;
    return {glm::normalize(normal - lean), std::clamp(1.0f + tint, 0.4f, 1.7f)};
}

}  // namespace lampflight
