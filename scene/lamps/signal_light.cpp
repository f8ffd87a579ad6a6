#include "scene/lamps/signal_light.h"

#include <cmath>

namespace lampflight {

double effective_intensity_cd(double intensity_cd, double on_s) {
    constexpr double eye_s = 0.2;
    return intensity_cd * on_s / (on_s + eye_s);
}

double extinction_per_m(double visibility_km) {
    return 3.912 / (1e3 * visibility_km);
}

double seen_from_m(double intensity_cd, double extinction_per_m) {
    if (!(intensity_cd > 0.0)) return 0.0;
    // In clear air it would be seen from farthest.
    double near_m = 0.0, far_m = std::sqrt(intensity_cd / night_threshold_lx);
    for (int halved = 0; halved < 64; ++halved) {
        const double middle_m = 0.5 * (near_m + far_m);
        const double lx =
            intensity_cd * std::exp(-extinction_per_m * middle_m) / (middle_m * middle_m);
        (lx > night_threshold_lx ? near_m : far_m) = middle_m;
    }
    return 0.5 * (near_m + far_m);
}

double dots_apart_m(double speed_m_s, double per_minute) {
    return speed_m_s * 60.0 / per_minute;
}

}  // namespace lampflight
