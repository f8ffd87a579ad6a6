#include "renderer/geometry/surface_relief.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "renderer/geometry/pebbles.h"
#include "renderer/geometry/value_noise.h"

namespace lampflight {
namespace {

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

constexpr std::size_t most_octaves = soil.size();

std::span<const Octave> octaves_of(SurfaceRelief relief) {
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

/// A surface cuts the wave along two axes.
constexpr float slope_rms_of_unit_wave = 1.41421356f * axis_slope_of_unit_wave;

/// One octave of every lane's own relief.
struct LaneOctave {
    Lanes wavelength_m, slope, tint;

    LaneOctave(const std::array<SurfaceRelief, packet_size>& reliefs, std::size_t number) {
        for (int i = 0; i < packet_size; ++i) {
            const auto octaves = octaves_of(reliefs[static_cast<std::size_t>(i)]);
            const bool has = number < octaves.size();
            // No patch holds a wave of no length.
            wavelength_m[i] = has ? octaves[number].wavelength_m : 0.0f;
            slope[i] = has ? octaves[number].slope : 0.0f;
            tint[i] = has ? octaves[number].tint : 0.0f;
        }
    }
};

void add_waves(const ReliefPlaces& places, LeanAndTint& relief) {
    glm::vec3 offset(0.37f, 0.11f, 0.73f);
    for (std::size_t number = 0; number < most_octaves; ++number) {
        offset += glm::vec3(17.3f, 9.1f, 5.7f);
        LaneOctave octave(places.relief, number);
        Lanes held;
        for (int i = 0; i < packet_size; ++i) {
            held[i] = held_share(octave.wavelength_m[i], places.patch_m[i]);
            octave.wavelength_m[i] = std::max(octave.wavelength_m[i], 1e-3f);
        }
        // Beyond a few hundred metres single precision no longer resolves the waves, nor does the
        // film.
        if (!any_above_zero(held)) continue;
        Waves waves;
        value_noise(in_waves(places.position_m, octave.wavelength_m, offset), waves);
        for (int i = 0; i < packet_size; ++i) {
            relief.tint[i] += held[i] * octave.tint[i] * waves.value[i];
            const float steep = held[i] * octave.slope[i] / slope_rms_of_unit_wave;
            relief.lean.x[i] += steep * waves.slope.x[i];
            relief.lean.y[i] += steep * waves.slope.y[i];
            relief.lean.z[i] += steep * waves.slope.z[i];
        }
    }
}

}  // namespace

void add_relief(const ReliefPlaces& places, LaneVectors& normal, Lanes& tint) {
    LeanAndTint relief;
    add_waves(places, relief);
    add_pebbles(places, relief);
    for (int i = 0; i < packet_size; ++i) {
        const float nx = normal.x[i], ny = normal.y[i], nz = normal.z[i];
        const LaneVectors& lean = relief.lean;
        const float along = lean.x[i] * nx + lean.y[i] * ny + lean.z[i] * nz;
        const float x = nx - (lean.x[i] - along * nx), y = ny - (lean.y[i] - along * ny),
                    z = nz - (lean.z[i] - along * nz);
        const float scale = 1.0f / std::sqrt(std::max(x * x + y * y + z * z, 1e-12f));
        normal.x[i] = x * scale;
        normal.y[i] = y * scale;
        normal.z[i] = z * scale;
        tint[i] = std::min(1.7f, std::max(0.4f, 1.0f + relief.tint[i]));
    }
}

}  // namespace lampflight
