// Lamps as they burn in a take: on which path, when, how strongly, and where they point.
#pragma once

#include <optional>
#include <vector>

#include "scene/shoot/flown_flight.h"
#include "scene/shoot/placed_shoot.h"

namespace lampflight {

/// Whether a flight carries the lamp, which then does not stand.
bool is_carried(const Shoot& shoot, const Lamp& lamp);

/// 2^stops of the take.
double flux_scale(const Take& take, const Lamp& lamp);

/// A lamp as it burns in a take: on its own feet or carried, and when.
struct LitLamp {
    const Lamp* lamp;
    std::optional<FlightPath> path;  ///< nothing for a standing lamp
    double flux_scale;
    TimeWindows lit;  ///< when it burns while the shutter is open

    double lit_s() const { return total_s(lit); }  ///< how long it burns
    Vec3 position_m(double time_s) const;
};

/// Every lamp that burns in a take, flights in the take's order, standing lamps last. Left out is
/// one whose own times fall outside the shutter or its flight.
std::vector<LitLamp> lit_lamps(const Shoot& shoot, const Take& take);

/// The lamp with its burning cut to these times; it may be left with none.
LitLamp lit_during(LitLamp lit, const TimeWindows& times);

/// Every flash of a pulsed lamp, or the one that is under way, from time zero up to `until_s`.
TimeWindows flashes(const Pulse& pulse, double until_s);

/// Middle of the box of the subject that a lamp is aimed at; nothing for another aim.
std::optional<Vec3> aim_target_m(const PlacedShoot& shoot, const Lamp& lamp);

/// Unit direction in which a lamp points at a time. An aim at a subject goes to that target;
/// `centre` goes to the flight's centre at its height.
Vec3 aim_direction(const LitLamp& lit, const std::optional<Vec3>& target_m, double time_s);

}  // namespace lampflight
