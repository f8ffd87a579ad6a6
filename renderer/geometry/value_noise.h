// Value noise: smooth noise in space, sixteen places at once.
#pragma once

#include "renderer/sampling/lanes.h"

namespace lampflight {

/// Value noise of rms 1 and its gradient.
struct Waves {
    Lanes value;
    LaneVectors slope;
};

/// rms of the gradient along one axis.
constexpr float axis_slope_of_unit_wave = 1.9096f;

/// Trilinear value noise of hashed corners over a lattice of spacing 1, with a quintic fade.
void value_noise(const LaneVectors& place, Waves& waves);

/// The places, counted in wavelengths and moved by an offset.
LaneVectors in_waves(const LaneVectors& position_m, const Lanes& wavelength_m,
                     const glm::vec3& offset);
LaneVectors in_waves(const LaneVectors& position_m, float wavelength_m, const glm::vec3& offset);

}  // namespace lampflight
