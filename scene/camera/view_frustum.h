// View frustum, the pyramid that a camera frames: what lies outside it can be seen in no picture.
#pragma once

#include <array>

#include "scene/basics/vector.h"
#include "scene/camera/camera.h"

namespace lampflight {

struct ViewFrustum {
    Vec3 lens_m;
    std::array<Vec3, 4> inward;  ///< unit normals of the sides, which all meet at the lens
};

/// The narrowest one that holds all of the frame, whose edges distortion bends.
ViewFrustum view_frustum(const Camera& camera);

/// Whether a ball may reach into it. Near the lens a ball behind it may be said to, though it does
/// not.
bool reaches_into(const ViewFrustum& view, const Vec3& middle_m, double radius_m);

}  // namespace lampflight
