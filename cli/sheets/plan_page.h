// The set-up plan: one page of A4 to carry to the place, with drawings to scale, the figures to set
// up from and what to watch. Printed without colours it tells the same: lines differ by dashes.
#pragma once

#include <string>

#include "scene/planning/shoot_figures.h"
#include "scene/shoot/placed_shoot.h"

namespace lampflight {

/// A page of SVG. `figures` are those of the shoot.
std::string plan_page(const PlacedShoot& shoot, const ShootFigures& figures);

}  // namespace lampflight
