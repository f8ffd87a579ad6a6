// The marks of planned paths on a picture: lines, ticks of time, which way, start and end.
#pragma once

#include "cli/sheets/guide_ink.h"
#include "cli/sheets/guide_ticks.h"

namespace lampflight {

/// Burning is whole, dark dashed, turned away dotted.
void draw_stretch(GuideInk& ink, Colour8 colour, const GuideStretch& stretch);

/// Across the line; a long tick also has its number written beside it, by others.
void draw_tick(GuideInk& ink, Colour8 colour, const GuideTick& tick, bool is_long);

/// Half the length of a tick.
double tick_reach(const OverlaySizes& sizes, bool is_long);

/// How close two ticks may lie.
double least_tick_gap(const OverlaySizes& sizes);

/// Heads on the line, one for each long step: as near to its middle as there is room.
void draw_heads(GuideInk& ink, Colour8 colour, const GuidePath& path, const TickSteps& steps);

/// A disc where it begins and a ring where it ends, the ring about the disc where they meet.
void draw_ends(GuideInk& ink, Colour8 colour, const GuidePath& path);

constexpr double start_radius_letters = 0.36;
constexpr double end_radius_letters = 0.6;

}  // namespace lampflight
