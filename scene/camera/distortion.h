// Radial distortion: how far from the middle of the film a lens draws what a rectilinear one would
// draw elsewhere. D. C. Brown, "Decentering distortion of lenses" (1966), the radial terms alone.
// Radii are in focal lengths.
#pragma once

#include "scene/basics/vector.h"

namespace lampflight {

/// An image that grows outwards by less than this share of the rectilinear one's growth counts as
/// folded: no lens is like that, and its light would pile up without bound.
constexpr double least_growth = 0.1;

class RadialDistortion {
public:
    /// k1 and k2; 0 and 0 for none.
    explicit RadialDistortion(const Vec2& k);

    bool none() const { return k_ == Vec2(0.0); }

    /// r (1 + k1 r^2 + k2 r^4): where the image lies of what a rectilinear lens has at r.
    double image_radius(double r) const;

    /// Slope of `image_radius`.
    double growth(double r) const;

    /// The r up to which the image grows outwards; infinity for a pair that never folds.
    double limit() const { return limit_; }

    /// Inverse of `image_radius`, to rounding; the limit for all that lies beyond its image.
    double ideal_radius(double image) const;

private:
    Vec2 k_;
    double limit_;
};

}  // namespace lampflight
