// How far a take is over clipping, and where in the frame, without a picture: an even sky, open
// level ground under it and under the take's lamps, no shadows and nothing that stands there.
#pragma once

#include <vector>

#include "scene/cautions/flown_take.h"

namespace lampflight {

/// Whether a take's shutter opens by day: the sun is up at the place (its upper edge, by the
/// convention of sunset), or the stated sky is brighter than at sunset.
bool opens_by_day(const Shoot& shoot, const Take& take);

/// Stops over clipping (minus: below it) of the even sky in the middle of the frame.
double sky_stops_over(const Shoot& shoot, const Take& take);

/// A cell of the frame, all of them of one size.
struct FilmCell {
    bool is_ground;
    double stops_over;  ///< clipping, by all light
    double lamp_share;  ///< of that light
};

std::vector<FilmCell> film_estimate(const FlownTake& seen);

}  // namespace lampflight
