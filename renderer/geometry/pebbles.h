// Pebbles too small for the mesh, as a change of the surface's slope and tint.
#pragma once

#include <algorithm>

#include "renderer/geometry/surface_relief.h"

namespace lampflight {

/// What relief comes to: the lean of the surface (what its normal loses) and the change of its
/// tint.
struct LeanAndTint {
    LaneVectors lean{};
    Lanes tint{};
};

/// Share of a wave that a patch shows: none that is about its own size.
inline float held_share(float wavelength_m, float patch_m) {
    return std::min(1.0f, std::max(0.0f, (wavelength_m / patch_m - 1.2f) / 1.3f));
}

inline bool any_above_zero(const Lanes& values) {
    float most = 0.0f;
    for (int i = 0; i < packet_size; ++i) most = std::max(most, values[i]);
    return most > 0.0f;
}

/// Lays gravel in patches over lanes of soil. Averages to no tint, as far as pebbles and gaps
/// cancel.
void add_pebbles(const ReliefPlaces& places, LeanAndTint& relief);

}  // namespace lampflight
