// A take with what flies and burns in it, worked out once for all its cautions.
#pragma once

#include <string>
#include <vector>

#include "scene/cautions/alike.h"
#include "scene/shoot/lit_lamp.h"
#include "scene/shoot/presence.h"

namespace lampflight {

struct FlownTake {
    FlownTake(const PlacedShoot& whole, const Take& one);

    /// What a caution calls a flight.
    std::string name_of(const FlownFlight& flown) const;

    /// Makes findings of this kind be counted by their flights.
    Alike alike(const FlownFlight& flown, std::string kind, double worse = 0.0) const;

    const PlacedShoot& shoot;
    const Take& take;
    ExposureSettings settings;
    std::vector<std::size_t> present;  ///< subjects, by their places in the shoot's list
    std::vector<FlownFlight> flights;
    std::vector<FlownFlight> courses;  ///< those, and the drones' ways between them
    std::vector<LitLamp> lit;
};

/// Places along a flight, even in time, while it is in the air and the shutter is open. Of a long one
/// so many that they lie within metres.
std::vector<Vec3> places_m(const FlownFlight& flown);

}  // namespace lampflight
