// A flight set by a drone's dial, which knows whole metres of radius and tenths of a metre a
// second, and what that costs.
#pragma once

#include <optional>

#include "scene/flights/flight_path.h"

namespace lampflight {

struct DialFigures {
    double radius_m;   ///< the nearest whole metre, at least one
    double speed_m_s;  ///< the nearest tenth, at least one, within the drone's own limit
    double lap_s;
    double radius_off_m;                ///< over (plus) or under (minus) the planned radius
    double trail_stops;                 ///< its exposure against the plan's; it goes as 1 / speed
    std::optional<double> closure_deg;  ///< minus: gap; nothing for a helix
    std::optional<double> closure_m;    ///< length of that along the curve
    std::optional<double> best_speed_m_s;  ///< the tenth that closes best at that radius
    std::optional<double> best_closure_deg;
    std::optional<double> best_closure_m;
};

/// For circle, ring and helix; nothing for shapes that no dial sets. The drone goes round for as
/// long as the plan has it in the air while the shutter is open, and further than the plan where it
/// is faster; with limits it ends at rest where the plan ends.
std::optional<DialFigures> dial_figures(const Flight& flight, const FlightPath& path,
                                        double shutter_s);

}  // namespace lampflight
