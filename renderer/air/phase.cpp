#include "renderer/air/phase.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"

namespace lampflight {

double rayleigh_phase(double cosine) {
    return 3.0 / (16.0 * pi) * (1.0 + cosine * cosine);
}

double lobe_phase(double cosine, double asymmetry) {
    const double g2 = asymmetry * asymmetry;
    const double off2 = 1.0 + g2 - 2.0 * asymmetry * cosine;
    return (1.0 - g2) / (4.0 * pi * off2 * std::sqrt(off2));
}

double haze_phase(double cosine) {
    return narrow_share * lobe_phase(cosine, narrow_asymmetry) +
           (1.0 - narrow_share) * lobe_phase(cosine, broad_asymmetry);
}

double haze_peak(double cosine) {
    static const double edge = lobe_phase(peak_edge_cosine, narrow_asymmetry);
    return narrow_share * std::max(0.0, lobe_phase(cosine, narrow_asymmetry) - edge);
}

}  // namespace lampflight
