// The pose that the parts of the person share. Metres; front to -y, so the right hand is at -x.
#pragma once

#include "scene/basics/vector.h"

namespace lampflight {

/// One side's joints, from the shoulder down.
struct Limbs {
    Vec3 shoulder, elbow, wrist, hip, knee, ankle;
    Vec3 toes;  ///< level direction of the foot
};

// The weight rests on the right leg: that hip is pushed out and up, the shoulder above it drops,
// the left knee gives.
inline const Limbs right_limbs{{-0.180, 0.014, 1.388},  {-0.258, 0.052, 1.108},
                               {-0.285, -0.040, 0.868}, {-0.112, 0.005, 0.905},
                               {-0.122, -0.018, 0.500}, {-0.112, 0.022, 0.095},
                               {-0.21, -0.978, 0.0}};
inline const Limbs left_limbs{{0.158, 0.012, 1.408}, {0.250, 0.055, 1.132},  {0.268, -0.046, 0.894},
                              {0.068, 0.002, 0.888}, {0.128, -0.070, 0.492}, {0.160, -0.035, 0.095},
                              {0.40, -0.917, 0.0}};

/// A place in the head's own axes (origin between the temples): it looks a little up and aside.
Vec3 in_head(const Vec3& place_m);

/// Signed distances, in metres, of the bare parts.
double head_distance_m(const Vec3& place_m);
double hand_distance_m(const Vec3& place_m, const Limbs& limbs);

}  // namespace lampflight
