// Transmission, iris, distortion, vignetting and veiling glare of a lens, as the scene states them.
#pragma once

#include "scene/basics/vector.h"

namespace lampflight {

struct Lens {
    double transmission = 0.9;   ///< share of light that its glass passes
    int blades = 9;              ///< of the iris, evenly round; 0 for a round opening
    double open_f_number = 2.8;  ///< fully open, where the blades' arcs join to a circle
    /// k1, k2 of Brown's radial model: the image lies at r (1 + k1 r^2 + k2 r^4), r in focal
    /// lengths.
    Vec2 distortion{0.0, 0.0};
    double corner_stops = 0.0;   ///< lost in the corner of the frame beyond the natural falloff
    double glare_share = 0.03;   ///< of all light, scattered by the glass over the whole frame
    double glare_falloff = 2.0;  ///< exponent by which scattered light falls off with distance
};

}  // namespace lampflight
