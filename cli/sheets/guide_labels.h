// Words of guides: seconds beside long ticks, starts and ends, subjects, metered points, the
// horizon.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "cli/sheets/guide_ink.h"
#include "cli/sheets/guide_path.h"
#include "cli/sheets/label_places.h"
#include "scene/shoot/placed_shoot.h"

namespace lampflight {

/// The seconds of long ticks, where there is room just beside them.
void label_ticks(GuideInk& ink, LabelPlaces& places, Colour8 colour,
                 std::span<const GuideTick> long_ticks);

/// The flight's name with its start, and its end or the shutter's; the name alone where it enters
/// the frame from outside.
void label_path(GuideInk& ink, LabelPlaces& places, Colour8 colour, const GuidePath& path);

/// Subjects that stand there in some of the takes, above them.
void label_subjects(GuideInk& ink, LabelPlaces& places, const PlacedShoot& shoot,
                    std::span<const std::string> takes);

/// A ring for each metered point in the frame, which may be hidden, with its name.
void label_points(GuideInk& ink, LabelPlaces& places, const PlacedShoot& shoot);

void label_horizon(GuideInk& ink, LabelPlaces& places,
                   const std::vector<std::vector<Vec2>>& horizon);

}  // namespace lampflight
