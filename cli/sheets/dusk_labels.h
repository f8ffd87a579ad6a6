// Labels beside the plot of an evening: what happens when, none lying on another.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "cli/reports/dusk_report.h"

namespace lampflight {

/// An event at the height of its moment, or as near as the others leave room.
struct DuskLabel {
    DuskEvent event;
    double moment_y;
    double y;
};

/// Of sun, moon, takes and windows, from the top; `y_of` is the height of a moment.
std::vector<DuskLabel> dusk_labels(const Dusk& dusk, const std::function<double(double)>& y_of);

/// Stops of the sky in the first minute after a time.
double sky_stops_after(const Dusk& dusk, double unix_s);

}  // namespace lampflight
