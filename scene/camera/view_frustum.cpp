#include "scene/camera/view_frustum.h"

#include <algorithm>
#include <cmath>

namespace lampflight {

ViewFrustum view_frustum(const Camera& camera) {
    const auto [right, up, forward] = axes_of(camera);
    const Vec2 half_rad = glm::atan(widest_tangents(camera));
    const Vec3 aside = std::sin(half_rad.x) * forward, above = std::sin(half_rad.y) * forward;
    return {camera.position_m,
            {aside + std::cos(half_rad.x) * right, aside - std::cos(half_rad.x) * right,
             above + std::cos(half_rad.y) * up, above - std::cos(half_rad.y) * up}};
}

bool reaches_into(const ViewFrustum& view, const Vec3& middle_m, double radius_m) {
    const Vec3 off_m = middle_m - view.lens_m;
    return std::ranges::all_of(
        view.inward, [&](const Vec3& inward) { return glm::dot(off_m, inward) > -radius_m; });
}

}  // namespace lampflight
