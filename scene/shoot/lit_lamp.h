// Lamps as they burn in a take: on which path, when, how strongly, and where they point.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "scene/flights/attitude.h"
#include "scene/shoot/flown_flight.h"
#include "scene/shoot/pen.h"
#include "scene/shoot/placed_shoot.h"

namespace lampflight {

/// Whether a flight carries the lamp, which then does not stand.
bool is_carried(const Shoot& shoot, const Lamp& lamp);

/// 2^stops of the take.
double flux_scale(const Take& take, const Lamp& lamp);

/// A path on which a lamp rides, until the next one begins.
struct Ride {
    std::shared_ptr<const FlightPath> path;
    Airframe airframe;
    std::shared_ptr<const Straying> strays{};  ///< from that path; null for not at all

    Vec3 position_m(double time_s) const;  ///< of the drone
};

/// A lamp as it burns in a take: on its own feet or carried, and when.
struct LitLamp {
    const Lamp* lamp;
    std::vector<Ride> rides;  ///< in order of time; none for a standing lamp
    double flux_scale;
    TimeWindows lit;                ///< when it burns while the shutter is open
    std::vector<AimChange> aims{};  ///< rising; the lamp's own before the first

    double lit_s() const { return total_s(lit); }  ///< how long it burns
    bool flies() const { return !rides.empty(); }

    /// Of the lamp; of a strip that hangs, of its place so far below the drone, in shares of it.
    Vec3 position_m(double time_s, double hung_share = 0.5) const;
    double flown_m(double time_s) const;          ///< way behind the drone, on all its rides
    const Ride& ride_at(double time_s) const;     ///< it must fly
    const Aim& aim_at(double time_s) const;
    std::vector<double> breaks_s() const;  ///< when course or aim may jump, rising
};

/// Every lamp that burns in a take, flights in the take's order, standing lamps last. Left out is
/// one whose own times fall outside the shutter or its flight.
std::vector<LitLamp> lit_lamps(const Shoot& shoot, const Take& take);

/// The lamp with its burning cut to these times; it may be left with none.
LitLamp lit_during(LitLamp lit, const TimeWindows& times);

/// Every flash of a pulsed lamp, or the one that is under way, from time zero up to `until_s`.
TimeWindows flashes(const Pulse& pulse, double until_s);

/// Middles of the boxes of subjects that are aimed at, by name.
using AimTargets = std::map<std::string, Vec3>;

/// Those that a lamp is aimed at while it burns.
AimTargets aim_targets(const PlacedShoot& shoot, const LitLamp& lit);

/// Unit direction in which a lamp points at a time. An aim at a subject goes to its target;
/// `centre` goes to the flight's centre at its height. On a fixed mount `down`, `ahead` and
/// directions (to the right, ahead, up) are the drone's own.
Vec3 aim_direction(const LitLamp& lit, const AimTargets& targets, double time_s);

}  // namespace lampflight
