#include "scene/shoot/take_moment.h"

#include <cmath>

namespace lampflight {

Moment moment_of(const Shoot& shoot, const Take& take) {
    return {shoot.place->when.unix_s + take.after_s, shoot.place->when.offset_min};
}

NightSky night_sky(const Shoot& shoot, double unix_s) {
    return night_sky(*shoot.place, shoot.sky, shoot.air, unix_s);
}

double as_at_opening_s(const Shoot& shoot, double after_s, const TimeWindows& times,
                       const SkyLux& light) {
    // Gauss's rule of two points: twilight's cubic polynomials are all but even over a minute.
    constexpr double longest_s = 60.0;
    const double opens_s = shoot.place->when.unix_s + after_s;
    const double first_lx = light(night_sky(shoot, opens_s));
    if (!(first_lx > 0.0)) return total_s(times);
    double sum = 0.0;
    for (const TimeWindow& window : times) {
        const double open_s = window.to_s - window.from_s;
        const int count = static_cast<int>(std::ceil(open_s / longest_s));
        const double half_s = 0.5 * open_s / count;
        for (int i = 0; i < count; ++i)
            for (const double off : {-1.0 / std::sqrt(3.0), 1.0 / std::sqrt(3.0)}) {
                const double at_s = window.from_s + half_s * (2.0 * i + 1.0 + off);
                sum += half_s * light(night_sky(shoot, opens_s + at_s));
            }
    }
    return sum / first_lx;
}

}  // namespace lampflight
