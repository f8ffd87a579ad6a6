// Figures of one flight in one take: pace, framing, closure, how its shape is seen, and what a
// drone's dial makes of it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scene/planning/closing_chance.h"
#include "scene/planning/closure.h"
#include "scene/planning/dial.h"
#include "scene/planning/stroke.h"
#include "scene/shoot/framing.h"
#include "scene/shoot/in_wind.h"
#include "scene/shoot/lit_lamp.h"

namespace lampflight {

/// A flight as the tripod sees it.
struct SeenShape {
    std::optional<Extents> figure_px;  ///< of what its lamps draw; nothing if not all in front
    /// Of a flight that lies in one plane: the angle at which the tripod looks onto that, 0
    /// edge-on, and how flat a circle looks there, 1 face-on (path_plane.h).
    std::optional<double> plane_angle_deg;
    std::optional<double> plane_flattening;
    std::optional<double> line_px;       ///< the line at its widest, by the widest lamp
    std::optional<double> detail_lines;  ///< stroke.h
    std::optional<Legibility> legible;   ///< nothing for what lies on one line in the world
};

struct FlightFigures {
    std::string name;
    double length_m;
    double lap_s;
    double speed_m_s;  ///< mean over the flight
    double top_speed_m_s;
    double top_acceleration_m_s2;
    double airborne_s;                  ///< while the shutter is open
    double flown_s;                     ///< the whole flight, from its first metre to its last
    std::optional<double> closure_deg;  ///< minus: gap; only for circle and ring
    std::optional<double> closure_m;    ///< length of that gap or overlap; of other shapes a gap
    std::optional<Closure> slow_3_percent;  ///< the same for one flown so much too slow
    std::optional<Closure> slow_5_percent;
    Framing framing;
    SeenShape seen;
    std::optional<DialFigures> dial;
    std::optional<InWind> wind{};            ///< as `take_figures` adds them
    std::optional<ClosingChance> closing{};
};

/// `lamps` are the flight's own that burn in the take.
FlightFigures flight_figures(const Camera& camera, const ExposureSettings& settings,
                             const Flight& flight, const FlightPath& path,
                             const std::vector<LitLamp>& lamps);

}  // namespace lampflight
