// The evening on a page: time runs down as the light goes, stops run across. Drawn to be read on a
// phone held upright and on paper without colours: lines differ by their dashes too.
#pragma once

#include <string>

#include "cli/reports/dusk_report.h"

namespace lampflight {

/// A page of SVG.
std::string dusk_plot(const DuskReport& report);

}  // namespace lampflight
