// How much light surfaces send back, all lamps together, each as strong as the others.
#pragma once

#include <span>
#include <vector>

#include "renderer/surface_light/irradiance_cache.h"

namespace lampflight {

/// Direct light of a lamp of one lumen at some points, in lux seconds.
using LumenIrradiance = std::vector<float>;

class LightMixture {
public:
    /// `lamps` is their light on every cell.
    LightMixture(const Geometry& geometry, const IrradianceCache& cells,
                 std::span<const LumenIrradiance> lamps);

    /// The lamps' light, on the same points each: times reflectance, what a square metre there
    /// sends back, where all that a lamp makes surfaces send back counts as one.
    std::vector<float> of(std::span<const LumenIrradiance> lamps) const;

    /// What one of the lamps has in it.
    LumenIrradiance of(std::size_t lamp, const LumenIrradiance& light) const;

    /// Lamps that light anything.
    float total() const { return total_; }

    /// A triangle's area times its reflectance.
    float reflecting_m2(std::uint32_t mesh, std::uint32_t triangle) const {
        return reflecting_m2_[mesh][triangle];
    }

private:
    std::vector<std::vector<float>> reflecting_m2_;  ///< by mesh and triangle
    std::vector<double> per_light_;                  ///< by lamp: what its light counts
    float total_ = 0.0f;
};

}  // namespace lampflight
