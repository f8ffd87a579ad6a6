// How the flights of a take stray: by the keys of flight and air, and by which go it is.
#pragma once

#include <cstdint>
#include <memory>

#include "scene/flights/straying.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

/// How a flight strays where its keys do not say; common practice of satellite positioning.
constexpr double common_wander_m = 0.3;
constexpr double common_wander_s = 4.0;

/// What a flight's keys say of it.
struct StrayingKeys {
    StrayingSize size;  ///< wander_m 0 where none is stated
    bool states_wander = false;
    std::uint64_t seed = 0;  ///< of one go
};

/// At a go. What a flight leaves out (its seed where that is 1) is as in the flight that its drone
/// flies before it; two flights of a drone stray as one where both say the same.
StrayingKeys straying_keys(const Shoot& shoot, const Take& take, const Flight& flight, int go);

/// Null for a flight that does not stray. A drone's flights one after another stray as one; each
/// take, and each go at it, otherwise.
std::shared_ptr<const Straying> straying_of(const Shoot& shoot, const Take& take,
                                            const Flight& flight);

/// How far a flight may well stray to any side, in metres: three times the rms of its wander and of
/// what gusts push it.
double strays_within_m(const Shoot& shoot, const Flight& flight);

}  // namespace lampflight
