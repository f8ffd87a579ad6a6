// Figures of drones' own lights: how strong they look, from how far, and how a beacon's dots lie.
#pragma once

#include <optional>
#include <string>

#include "scene/lamps/lamp.h"
#include "scene/sky/air.h"

namespace lampflight {

struct OwnLightFigures {
    std::string name;
    double effective_cd;  ///< along its aim; of a beacon by Blondel and Rey (signal_light.h)
    double seen_from_m;   ///< at night, through the scene's air
    std::optional<double> per_minute{};  ///< of a beacon
    /// From dot to dot at the mean speeds of its slowest and its fastest flight.
    std::optional<double> least_apart_m{};
    std::optional<double> most_apart_m{};
};

/// Without what hangs on flights.
OwnLightFigures own_light_figures(const Lamp& lamp, const Air& air);

/// Takes another flight into account.
void add_flight(OwnLightFigures& figures, double speed_m_s);

}  // namespace lampflight
