#include "scene/planning/own_light_figures.h"

#include <algorithm>

#include "scene/lamps/signal_light.h"

namespace lampflight {

OwnLightFigures own_light_figures(const Lamp& lamp, const Air& air) {
    double cd = Beam(lamp).intensity_cd(1.0);
    if (lamp.pulse.per_minute) cd = effective_intensity_cd(cd, *lamp.pulse.on_s);
    return {lamp.name, cd, seen_from_m(cd, extinction_per_m(air.visibility_km)),
            lamp.pulse.per_minute};
}

void add_flight(OwnLightFigures& figures, double speed_m_s) {
    if (!figures.per_minute) return;
    const double apart_m = dots_apart_m(speed_m_s, *figures.per_minute);
    figures.least_apart_m = std::min(figures.least_apart_m.value_or(apart_m), apart_m);
    figures.most_apart_m = std::max(figures.most_apart_m.value_or(apart_m), apart_m);
}

}  // namespace lampflight
