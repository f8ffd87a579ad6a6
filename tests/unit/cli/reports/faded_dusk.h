// What dusk tells of an evening whose sky fades evenly: as `dusk` reports it, without a sky made.
#pragma once

#include <cmath>

#include "cli/reports/dusk_report.h"

namespace lampflight {

/// From 50 cd/m2 at the beginning of the span, a stop less every five minutes.
inline DuskReport faded_dusk(const PlacedShoot& shoot) {
    const Take& take = shoot.takes.front();
    const DuskSpan span = dusk_span(shoot, take);
    const auto sky = [&](double unix_s) {
        return 50.0 * std::exp2((span.from_s - unix_s) / 300.0);
    };
    return {shoot.title, *shoot.place, dusk_of(shoot, take, span, sky), true, 33, {}};
}

}  // namespace lampflight
