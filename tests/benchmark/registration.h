// The benchmarks by group. Each adds its own to Google Benchmark's list, by name.
#pragma once

#include "tests/benchmark/prepared.h"

namespace lampflight::bench {

/// Every method on every flight: `layer/FLIGHT/METHOD/SETTING`.
void register_layers(int every);

/// Embree's bare rate: `embree/FLIGHT/KIND`.
void register_bare_rates();

/// `scaling/pixels/...`, `scaling/triangles/...`, `scaling/lamps/...`.
void register_scaling();

/// The sky over a place: `sky/MOMENT`, and `sky/picture`, what it adds to a whole picture.
void register_skies();

/// What a lamp behind a doorway leaves in the shade: `bounce/doorway/BOUNCES/QUALITY`.
void register_bounces();

/// A lamp's trail by how wide the lens draws it: `trail/2000_over_2`, radii in pixels.
void register_trails();

/// From scene file to picture file, in a process of its own: `picture/QUALITY/SIZE`. Register it
/// before the rest: Linux counts the memory of the process that starts another into its peak.
/// `full`: at 6000 x 4000 as well, which takes minutes.
void register_pictures(bool full);

/// From a file of layers to a picture file, beside reading the file alone: `retune/SIZE/SAMPLES`.
void register_retune(bool full);

/// Lens and sensor beside the rest of a `good` picture: `development/SIZE`.
void register_development(bool full);

}  // namespace lampflight::bench
