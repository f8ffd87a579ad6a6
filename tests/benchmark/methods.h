// The methods that are compared. Each is given the same surface points, lamp, ray query and
// formula of light. n times a pixel are spread over the pixel's film samples: n / samples each,
// rounded down, and at least one (times_each).
#pragma once

#include "renderer/sampling/effort.h"
#include "tests/benchmark/embree_rays.h"
#include "tests/benchmark/lamp_layer.h"

namespace lampflight::bench {

class Prepared;

/// Even times, alike for all pixels, one ray a call. `phase` in [0, 1] is their place within a
/// step.
TileMethod fixed_times_one_by_one(const LampTrack& track, const EmbreeRays& rays, int times);

/// The same times and rays, sixteen pixels of a block to a call.
TileMethod fixed_times_in_packets(const LampTrack& track, const RayQuery& rays, int times,
                                  float phase = 0.5f);

/// A random time in each of n even strata, drawn anew for each pixel; sixteen pixels to a call.
TileMethod random_times(const LampTrack& track, const RayQuery& rays, int times);

/// The product's own way, with the film as it was prepared.
TileMethod shutter_integral(const LampTrack& track, const Prepared& on, const Effort& effort);

}  // namespace lampflight::bench
