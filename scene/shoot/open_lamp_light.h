// A take's lamps as instants, each a lamp standing still for a moment: what they lay on open places
// by the inverse square law, without shadows.
#pragma once

#include <vector>

#include "scene/shoot/lit_lamp.h"

namespace lampflight {

/// How many instants stand for a lamp's burning: enough that it moves on by no more than this
/// share of its height over the ground between two.
struct InstantSpacing {
    double share_of_height = 0.2;
    int fewest = 64;
    int most = 4096;
};

class OpenLampLight {
public:
    /// Of these lamps of a shoot's take.
    OpenLampLight(const PlacedShoot& shoot, const std::vector<LitLamp>& lamps,
                  const InstantSpacing& spacing = {});

    /// A lamp standing still for a moment.
    struct Instant {
        Vec3 position_m;
        Vec3 aim;
        std::size_t lamp;  ///< by its place in the list of lamps
        double weight_s;   ///< its time and strength
    };
    const std::vector<Instant>& instants() const { return instants_; }

    /// Luminance in cd/m2 of level ground at height zero, summed over the shutter in seconds: light
    /// of a point I cos(theta) / r^2 and reflectance rho give rho E / pi.
    double ground_cd_s_m2(const Vec2& place_m) const;

    /// Lux seconds on a small ball at a place, whichever way the light comes.
    double facing_lxs(const Vec3& place_m) const;

private:
    void add(const PlacedShoot& shoot, const LitLamp& lit, const InstantSpacing& spacing);

    std::vector<Beam> beams_;
    std::vector<double> ground_share_;  ///< of a lamp's light, by its colour: rho / pi
    std::vector<Instant> instants_;
};

/// Luminance in cd/m2 of open ground under so many lux of the sky, its reflectance taken for white
/// light (dusk's blue changes it by 0.05 stops or so).
double ground_cd_m2(const Ground& ground, double horizontal_lx);

}  // namespace lampflight
