// SurfaceRelief worked out for one place, step by step and with the library's cosine: what the
// sixteen lanes must come to.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include <glm/glm.hpp>

#include "renderer/sampling/low_discrepancy.h"
#include "scene/subjects/mesh.h"

namespace lampflight::plain {

struct Relieved {
    glm::vec3 normal;
    float tint;
};

/// One octave: a wave of this length, so steep and so strongly tinted (rms).
struct Octave {
    float wavelength_m;
    float slope;
    float tint;
};

// By eye from photographs of such surfaces under raking light, no source. Soil gets crumbs, not
// swells: what is wider than a hand is the mesh's.
constexpr std::array<Octave, 6> soil{{{2.9f, 0.0f, 0.08f},
                                      {0.53f, 0.0f, 0.08f},
                                      {0.14f, 0.06f, 0.03f},
                                      {0.058f, 0.12f, 0.05f},
                                      {0.024f, 0.24f, 0.10f},
                                      {0.010f, 0.32f, 0.14f}}};
constexpr std::array<Octave, 5> stone{{{0.61f, 0.0f, 0.08f},
                                       {0.17f, 0.06f, 0.08f},
                                       {0.052f, 0.12f, 0.09f},
                                       {0.019f, 0.17f, 0.09f},
                                       {0.007f, 0.16f, 0.07f}}};
constexpr std::array<Octave, 3> cloth{
    {{0.11f, 0.05f, 0.03f}, {0.031f, 0.06f, 0.03f}, {0.008f, 0.05f, 0.03f}}};

inline std::span<const Octave> octaves_of(SurfaceRelief relief) {
    switch (relief) {
        case SurfaceRelief::soil:
            return soil;
        case SurfaceRelief::stone:
            return stone;
        case SurfaceRelief::cloth:
            return cloth;
        case SurfaceRelief::none:
            break;
    }
    return {};
}

/// Value noise and its gradient.
struct Wave {
    float value;  ///< rms 1
    glm::vec3 slope;
};

inline float corner_value(int x, int y, int z) {
    const auto h =
        hash_of(static_cast<std::uint32_t>(x) * 0x27d4eb2fu ^ static_cast<std::uint32_t>(y),
                static_cast<std::uint32_t>(z));
    return static_cast<float>(h >> 8) * 0x1p-23f - 1.0f;
}

constexpr float to_unit_rms = 2.4972f;
constexpr float axis_slope_of_unit_wave = 1.9096f;

/// A surface cuts the wave along two axes.
constexpr float slope_rms_of_unit_wave = 1.41421356f * axis_slope_of_unit_wave;

/// Trilinear value noise with a quintic fade.
inline Wave value_noise(const glm::vec3& place) {
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
    const float along_x =
        mix(mix(c[1] - c[0], c[3] - c[2], s.y), mix(c[5] - c[4], c[7] - c[6], s.y), s.z);
    return {to_unit_rms * mix(y0, y1, s.z),
            to_unit_rms * ds * glm::vec3(along_x, mix(x10 - x00, x11 - x01, s.z), y1 - y0)};
}

/// Share of a wave that a patch shows: none that is about its own size.
inline float held_share(float wavelength_m, float patch_m) {
    return std::clamp((wavelength_m / patch_m - 1.2f) / 1.3f, 0.0f, 1.0f);
}

/// Pebbles too small for the mesh, at most one in each cell of a turned grid.
struct PebbleGrid {
    float cell_m;
    glm::vec2 turn;  ///< cosine and sine
    float share;     ///< of cells that hold one where there is gravel
};

// Turned by odd angles, so that no grid shows. Small ones first: larger ones cover them.
constexpr std::array<PebbleGrid, 4> pebble_grids{{{0.023f, {0.891f, 0.454f}, 0.8f},
                                                  {0.039f, {0.515f, -0.857f}, 0.7f},
                                                  {0.069f, {0.216f, 0.976f}, 0.6f},
                                                  {0.117f, {0.743f, 0.669f}, 0.45f}}};

/// A change of the surface, `cover` of it as it is on the pebble.
struct Pebble {
    glm::vec2 slope{0.0f};
    float tint = 0.0f;
    float cover = 0.0f;
};

/// Six-sided pebbles: a tilted top, bevels round it and a dark gap where they meet the soil.
inline Pebble pebble_at(const PebbleGrid& grid, const glm::vec2& place_m, float gravel) {
    const glm::vec2 place = glm::vec2(grid.turn.x * place_m.x - grid.turn.y * place_m.y,
                                      grid.turn.y * place_m.x + grid.turn.x * place_m.y) /
                            grid.cell_m;
    const glm::vec2 cell = glm::floor(place);
    const auto key = hash_of(static_cast<std::uint32_t>(static_cast<int>(cell.x)),
                             static_cast<std::uint32_t>(static_cast<int>(cell.y)));
    const auto draw = [key](std::uint32_t number) { return hashed_place(key, number); };
    if (draw(1) >= grid.share * gravel) return {};
    constexpr float gap = 1.25f;  // reach of the dark gap, of the pebble's own
    const float radius = 0.20f + 0.20f * draw(2);
    const float free = 0.5f - gap * radius;
    const glm::vec2 centre(0.5f + free * (2.0f * draw(3) - 1.0f),
                           0.5f + free * (2.0f * draw(4) - 1.0f));
    const glm::vec2 off = (place - cell - centre) / radius;
    if (glm::dot(off, off) >= gap * gap) return {};

    // The six sides lie at uneven distances and angles.
    float side = 0.0f;
    glm::vec2 across(0.0f);
    for (std::uint32_t i = 0; i < 6; ++i) {
        const float angle_rad = 1.0472f * (static_cast<float>(i) + draw(5) + 0.6f * draw(10 + i));
        const glm::vec2 outward(std::cos(angle_rad), std::sin(angle_rad));
        const float share = glm::dot(off, outward) / (0.72f + 0.28f * draw(20 + i));
        if (share > side) {
            side = share;
            across = outward;
        }
    }
    if (side >= gap) return {};
    if (side >= 1.0f) return {{0.0f, 0.0f}, -0.45f * (gap - side) / (gap - 1.0f), 0.0f};
    const float tint = 0.08f + 0.7f * (draw(6) - 0.5f);
    const glm::vec2 turned =
        side < 0.6f ? glm::vec2(draw(7) - 0.5f, draw(8) - 0.5f) * 0.5f : -1.1f * across;
    const glm::vec2 slope(grid.turn.x * turned.x + grid.turn.y * turned.y,
                          grid.turn.x * turned.y - grid.turn.y * turned.x);
    return {slope, tint, 0.8f};
}

/// Gravel in patches. Averages to no tint, as far as pebbles and gaps cancel.
inline void add_pebbles(const glm::vec3& position_m, float patch_m, glm::vec3& lean, float& tint) {
    const float patch = value_noise(position_m / 1.7f + glm::vec3(3.1f, 7.7f, 0.4f)).value +
                        0.5f * value_noise(position_m / 0.45f).value;
    const float gravel = std::clamp(0.6f + 0.5f * patch, 0.12f, 1.0f);
    for (const PebbleGrid& grid : pebble_grids) {
        const float held = held_share(0.6f * grid.cell_m, patch_m);
        if (held <= 0.0f) continue;
        const Pebble pebble = pebble_at(grid, glm::vec2(position_m), gravel);
        const float kept = 1.0f - held * pebble.cover;
        lean = kept * lean + held * glm::vec3(pebble.slope, 0.0f);
        tint = kept * tint + held * pebble.tint;
    }
}

inline Relieved with_relief(SurfaceRelief relief, const glm::vec3& position_m,
                            const glm::vec3& normal, float patch_m) {
    float tint = 0.0f;
    glm::vec3 lean(0.0f);
    glm::vec3 offset(0.37f, 0.11f, 0.73f);
    for (const Octave& octave : octaves_of(relief)) {
        offset += glm::vec3(17.3f, 9.1f, 5.7f);
        const float held = held_share(octave.wavelength_m, patch_m);
        // Beyond a few hundred metres single precision no longer resolves the waves, nor does the
        // film.
        if (held <= 0.0f) continue;
        const Wave wave = value_noise(position_m / octave.wavelength_m + offset);
        tint += held * octave.tint * wave.value;
        lean += held * octave.slope / slope_rms_of_unit_wave * wave.slope;
    }
    if (relief == SurfaceRelief::soil) add_pebbles(position_m, patch_m, lean, tint);
    lean -= glm::dot(lean, normal) * normal;
    return {glm::normalize(normal - lean), std::clamp(1.0f + tint, 0.4f, 1.7f)};
}

}  // namespace lampflight::plain
