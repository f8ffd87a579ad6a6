// The moment at which a take's shutter opens, and the sky's light from then on.
#pragma once

#include <functional>

#include "scene/shoot/shoot.h"
#include "scene/sky/night_sky.h"

namespace lampflight {

/// When a take's shutter opens; the shoot must have a place.
Moment moment_of(const Shoot& shoot, const Take& take);

/// What hangs over the shoot's place at an instant (seconds of UTC since 1970-01-01); the shoot
/// must have a place.
NightSky night_sky(const Shoot& shoot, double unix_s);

/// A light of the sky by its moment, in lux.
using SkyLux = std::function<double(const NightSky&)>;

/// How long the light of a take's opening, `after_s` after the place's moment, would have to last
/// to give as much as falls in the times that the shutter is open: dusk fades meanwhile. In
/// seconds; their length where there is no light to begin with.
double as_at_opening_s(const Shoot& shoot, double after_s, const TimeWindows& times,
                       const SkyLux& light);

}  // namespace lampflight
