// Surface relief: slope and tint of a surface finer than its mesh, as noise in space.
#pragma once

#include <array>

#include "renderer/sampling/lanes.h"
#include "scene/subjects/mesh.h"

namespace lampflight {

/// Surface points of a packet; lanes without one have `SurfaceRelief::none`.
struct ReliefPlaces {
    std::array<SurfaceRelief, packet_size> relief;
    LaneVectors position_m;
    Lanes patch_m;  ///< side of the patch that the lane's point stands for, above 0
};

/// The surfaces averaged over their patches: waves about as short as a patch are left out and those
/// of 2.5 patches kept whole, as a sharp lens would. Unit normals are leant by the relief; `tint`
/// becomes the factor on the reflectance, 1 on average.
void add_relief(const ReliefPlaces& places, LaneVectors& normal, Lanes& tint);

}  // namespace lampflight
