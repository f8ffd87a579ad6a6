// Battery: how many takes a drone flies on one, and what is left after each.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scene/shoot/shoot.h"

namespace lampflight {

/// A take on the drone's round through all that it flies, with a fresh battery where the one before
/// would run into the reserve.
struct BatteryTake {
    std::string take;
    std::optional<int> battery;  ///< on which it is flown, from 1 on; nothing without an endurance
    double out_s;                ///< from home to its start, where that battery is fresh; else 0
    double reset_s;  ///< in the air before it: the reset, and the camera's dark frame; else 0
    double flown_s;  ///< until its shutter has closed and its last flight has ended
    double back_s;   ///< home from its end
    std::optional<double> left_s;      ///< of flight to an empty battery, after it; minus: missing
    std::optional<double> left_share;  ///< of the full battery
};

struct DroneBattery {
    std::string drone;                  ///< its name; may be empty
    std::optional<double> endurance_s;  ///< with its lamps; nothing where the scene tells none
    bool timed = false;                 ///< whether that is loaded_endurance_min itself
    double reserve = 0.0;               ///< share of the full battery
    std::optional<double> usable_s;     ///< of the endurance, down to the reserve
    double out_s = 0.0;                 ///< from home to its first start
    double back_s = 0.0;                ///< home from its last end
    std::vector<BatteryTake> takes;     ///< those that it flies, one after another, once each
    std::optional<int> tries;           ///< takes on one battery, going on from the first again

    /// Of flight to an empty battery, as it has landed after a take; nothing without an endurance.
    std::optional<double> landed_s(const BatteryTake& take) const;

    /// Whether it has landed after a take without a touch on the reserve, if that is known.
    std::optional<bool> keeps_reserve(const BatteryTake& take) const;
};

/// How long a drone hovers with its lamps until its battery is empty, in seconds: as it was timed,
/// else its endurance without lamps times (mass / loaded mass)^1.5, for by momentum theory the
/// power of a hover goes with the 1.5th power of mass over the same rotors (Leishman, Principles of
/// Helicopter Aerodynamics, chapter 2). Nothing where it tells neither. Flying slowly takes about
/// what hovering does.
std::optional<double> loaded_endurance_s(const Drone& drone);

/// Of each drone that flies in a take, in the scene's order; none where the scene tells of no
/// drone. It flies every take of the scene in which it has a flight, in their order, those of other
/// drones left aside. Out it goes up and then across, home across and then down, between takes
/// straight, at transit_m_s or as its limits say. Wind is not in it.
std::vector<DroneBattery> batteries(const Shoot& shoot);

/// The one with the fewest tries, of those that tell an endurance; nothing where none does.
const DroneBattery* scarcest(const std::vector<DroneBattery>& batteries);

}  // namespace lampflight
