// Ready-made rays of the kinds that a picture needs, for Embree's bare rate.
#pragma once

#include <vector>

#include "tests/benchmark/embree_rays.h"
#include "tests/benchmark/lamp_layer.h"

namespace lampflight::bench {

/// One ray a pixel from the lens, pixels of a block of 4 x 2 to a packet.
std::vector<RTCRayHit8> lens_packets(const Camera& camera);

/// Rays from the film's surface points to the lamp, packets of half a block. `own_instants`: each
/// lane has its own time within a short stratum, as in the product; otherwise one time for all.
std::vector<RTCRay8> shadow_packets(const SeenFilm& film, const LampTrack& track,
                                    bool own_instants);

/// The rays of such packets one by one.
std::vector<RTCRay> single_rays(const std::vector<RTCRay8>& packets);

}  // namespace lampflight::bench
