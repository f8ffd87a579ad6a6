// Battery: how many takes a drone flies on one, and what is left after each.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scene/shoot/shoot.h"

namespace lampflight {

struct BatteryTake {
    std::string take;
    double reset_s;  ///< in the air before it: the reset, and the camera's dark frame
    double flown_s;  ///< until its shutter has closed and its last flight has ended
    std::optional<double> left_s;      ///< of flight to an empty battery, after it
    std::optional<double> left_share;  ///< of the full battery
};

struct DroneBattery {
    std::string drone;                  ///< its name; may be empty
    std::optional<double> endurance_s;  ///< with its lamps; nothing where the scene tells none
    std::optional<double> usable_s;     ///< of it, down to the reserve
    double out_s;                       ///< from home to its first start
    double back_s;
    std::vector<BatteryTake> takes;  ///< those that it flies, one after another, once each
    std::optional<int> tries;        ///< takes on one battery, going on from the first again
};

/// Of each drone that flies, in the scene's order.
std::vector<DroneBattery> batteries(const Shoot& shoot);

}  // namespace lampflight
