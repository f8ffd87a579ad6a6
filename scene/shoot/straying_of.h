// How the flights of a take stray: by the keys of flight and air, and by which go it is.
#pragma once

#include <memory>

#include "scene/flights/straying.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

/// Null for a flight that does not stray. A drone's flights one after another stray as one; each
/// take, and each go at it, otherwise.
std::shared_ptr<const Straying> straying_of(const Shoot& shoot, const Take& take,
                                            const Flight& flight);

/// How far a flight may well stray to any side, in metres: three times the rms of its wander and of
/// what gusts push it.
double strays_within_m(const Shoot& shoot, const Flight& flight);

}  // namespace lampflight
