// What makes a drawing measurable: grid, scale bar, north, wind, the camera's field of view.
#pragma once

#include "cli/sheets/plan_drawing.h"

namespace lampflight {

/// Lines every so many metres along the line of sight and across it; a plan has the tripod at zero.
void draw_grid(PlanDrawing& drawing, double grid_m);

/// Lower left, with the scale in print.
void draw_scale_bar(PlanDrawing& drawing, const PlanLayout& layout);

/// Length of the bar in metres.
double scale_bar_m(const PlanLayout& layout);

/// Upper right: true north, and magnetic where the scene tells it; wind below, if there is any.
void draw_north(PlanDrawing& drawing, const SightLine& sight, const Shoot& shoot);

/// The wedge that the camera sees from a place on the page: middle and half width in radians,
/// anticlockwise from rightwards.
void draw_wedge(PlanDrawing& drawing, const Vec2& lens, double middle_rad, double half_rad);

}  // namespace lampflight
