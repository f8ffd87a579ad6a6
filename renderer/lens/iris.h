// Diffraction by the iris: how light from one point spreads on the sensor, in units of wavelength
// times f-number, so that one pattern serves every colour and pitch.
#pragma once

#include <vector>

namespace lampflight {

/// The iris's edge: `blades` arcs of one radius, that of the fully open pupil, so that it is round
/// when open and a polygon with faintly bowed sides when closed far. Below 3 blades: always round.
struct Iris {
    int blades = 0;
    double closing = 1.0;  ///< f-number over that of the open lens; below 1 it is open
};

/// Irradiance of a point's image in the focal plane for unit light: the squared Fourier transform
/// of the pupil over its area (Fraunhofer; Born & Wolf, Principles of Optics, 8.3 and 8.5.2). The
/// pupil has the area of a circle of diameter 1, as the f-number asks.
///
/// Near the middle it is exact, by the transform of a polygon as a sum over its edges. Beyond
/// `exact_to` it is its mean over the rings, which pixels and wavelengths never part there: each
/// edge by itself, a Fresnel integral over its arc.
class DiffractionPattern {
public:
    /// Lookups beyond this are free of rings.
    static constexpr double exact_to = 10.0;

    /// To be looked up to `most_q`; farther out it is what it would be there, fading as usual.
    explicit DiffractionPattern(const Iris& iris, double most_q = 1e4);

    /// Where a direction lies in the pattern, which repeats, mirrored, from an edge's normal to a
    /// corner.
    double place_of(double direction_rad) const;

    /// Per squared wavelength times f-number, at `q` of them from the middle.
    double at(double q, double place) const;

private:
    double wedge_rad_;
    int far_nodes_ = 0;
    std::vector<float> near_;
    std::vector<float> far_;  ///< times q^3
};

}  // namespace lampflight
