// The tables in which `check` tells of flights, a row for each in each take.
#pragma once

#include "cli/reports/table.h"
#include "scene/planning/shoot_figures.h"

namespace lampflight {

/// Framing, closure and pace.
Table flight_table(const ShootFigures& figures);

/// What can be made out of its shape; only shapes that are more than a straight line.
Table seen_table(const ShootFigures& figures);

/// What becomes of it where it is flown too slowly, or by a drone's dial; only where that is
/// anything.
Table dial_table(const ShootFigures& figures);

/// Speed through the air, lean and crab; none without wind or gusts.
Table wind_table(const ShootFigures& figures);

/// In how many of many goes the line closes; only of lines that are to.
Table closing_table(const ShootFigures& figures);

}  // namespace lampflight
