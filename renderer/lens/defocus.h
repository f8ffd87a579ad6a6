// Defocus by depth: films of one geometry as a lens of some f-number, focused at the camera's
// distance, draws them. A round iris; trails have their own circle of defocus (trail.h).
#pragma once

#include <optional>

#include "renderer/film/depth_map.h"
#include "renderer/lens/depth_aware_blur.h"
#include "scene/camera/camera.h"

namespace lampflight {

class Defocus {
public:
    Defocus(const Camera& camera, double f_number, const DepthMap& depth);

    /// Whether any disc exceeds a pixel; if not, films stay as they are.
    bool visible() const { return wide_.has_value(); }

    /// A film as it is drawn. Every film of the geometry is blurred alike.
    Image blurred(Image film) const;

private:
    std::optional<DepthAwareBlur> wide_;
    std::optional<DepthAwareBlur> smoothing_;  ///< where wide discs need it
};

}  // namespace lampflight
