// The legend of guides: a strip along the edge of the picture that fewer paths reach.
#pragma once

#include <span>
#include <string>

#include "cli/sheets/guide_ink.h"
#include "cli/sheets/guide_ticks.h"

namespace lampflight {

/// What is drawn, for the legend to explain.
struct GuideKey {
    std::span<const std::string> takes;
    std::span<const GuidePath> paths;
    TickSteps steps;
};

/// Draws it and gives its place, along the lower edge or the upper one. Of a picture so small that
/// it would take up more than a third, nothing is drawn, and the place is empty.
PixelBox draw_legend(Canvas& canvas, const OverlaySizes& sizes, const GuideKey& key);

}  // namespace lampflight
