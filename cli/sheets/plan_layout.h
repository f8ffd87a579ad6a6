// Where the drawings of a set-up plan lie on the page, and at what scale.
#pragma once

#include <string>

#include "cli/drawing/canvas.h"
#include "cli/sheets/plan_facts.h"

namespace lampflight {

/// A ring about people on the plan. Common practice, no source.
constexpr double person_ring_m = 5.0;

/// A point is 1/72 of an inch; A4 by ISO 216 is 210 mm by 297 mm.
constexpr double points_a_metre = 72.0 / 0.0254;

/// One drawing: metres of the world, along the line of sight and across it, on paper.
struct PlanView {
    PixelBox room;       ///< in points, from the page's upper left corner
    Vec2 middle_m;       ///< of the room, rightwards and up
    double points_of_m;  ///< of a metre of the world

    Vec2 on_page(const Vec2& place_m) const {
        return Vec2(room.left + 0.5 * room.width, room.top + 0.5 * room.height) +
               points_of_m * Vec2(place_m.x - middle_m.x, middle_m.y - place_m.y);
    }
    Vec2 corner() const { return {room.left, room.top}; }
    Vec2 size() const { return {room.width, room.height}; }
    bool shows(const Vec2& page, double margin = 0.0) const;
};

struct PlanLayout {
    PlanView above;
    PlanView side;  ///< below it, metre for metre
    double scale;   ///< so many metres of the world are one on paper
    double grid_m;  ///< from grid line to grid line

    double points_of_m() const { return above.points_of_m; }
};

/// What the drawings should show, in metres along the line of sight, to its left and up: camera,
/// flights and people, and of all else what does not make them much smaller.
Box plan_frame(const PlanFacts& facts, const Shoot& shoot, const PixelBox& room);

/// The largest round scale at which the frame fits into the room.
PlanLayout plan_layout(const Box& frame_m, const PixelBox& room);

/// Whether a subject reaches beyond the plan on all sides: the ground, not a thing on it.
bool is_landscape(const PlannedSubject& subject, const PlanLayout& layout, const SightLine& sight);

/// 1, 2 or 5 times a power of ten, at least so long.
double round_length_m(double least_m);

}  // namespace lampflight
