// Peak luminance of open level ground in the frame under a take's lamps.
#pragma once

#include "scene/shoot/placed_shoot.h"

namespace lampflight {

/// A square metre of level ground at height zero, without relief, shadows or what stands on it.
struct LitGround {
    Vec2 place_m{0.0, 0.0};
    bool in_frame = true;        ///< false where the frame shows no ground: then anywhere
    double lens_factor = 0.0;    ///< where the place is imaged; on the axis where it is not
    double lamps_cd_s_m2 = 0.0;  ///< its luminance by the take's lamps, summed over the shutter
};

/// The square metre that the lamps make brightest on the film; in the middle of the frame's ground
/// where none burns.
LitGround lit_ground(const PlacedShoot& shoot, const Take& take);

}  // namespace lampflight
