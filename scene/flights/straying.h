// Straying: how a drone departs from its planned path, by the wander that positioning leaves and by
// gusts. Repeatable by a seed.
#pragma once

#include <cstdint>

#include "scene/basics/vector.h"

namespace lampflight {

/// Of what size and how fast.
struct StrayingSize {
    double wander_m = 0.0;  ///< rms east, and rms north; half of it up
    double wander_s = 4.0;  ///< correlation time
    double gust_m_s = 0.0;  ///< of gusts over the steady wind
    double gust_s = 6.0;    ///< correlation time
    Vec3 wind_m_s{0.0};     ///< steady
    double drag_per_m = 0.0;  ///< of the airframe, by which gusts push
};

class Straying {
public:
    Straying(const StrayingSize& size, std::uint64_t seed);

    Vec3 offset_m(double time_s) const;           ///< from the planned place
    Vec3 acceleration_m_s2(double time_s) const;  ///< of that offset
    Vec3 gust_m_s(double time_s) const;           ///< velocity of the air over the steady wind

private:
    StrayingSize size_;
};

}  // namespace lampflight
