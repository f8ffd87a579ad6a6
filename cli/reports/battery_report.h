// What `check` tells of batteries: tables, JSON.
#pragma once

#include <vector>

#include <nlohmann/json.hpp>

#include "cli/reports/table.h"
#include "scene/shoot/battery.h"

namespace lampflight {

/// A row for each drone: how many takes its battery gives, its ways out and home.
Table battery_table(const std::vector<DroneBattery>& batteries);

/// A row for each take of each drone: what it costs, what is left.
Table battery_takes_table(const std::vector<DroneBattery>& batteries);

/// Of the drone with the fewest takes a battery; null where no endurance is told.
nlohmann::ordered_json scarcest_battery_json(const std::vector<DroneBattery>& batteries);

/// Of each drone with takes.
nlohmann::ordered_json batteries_json(const std::vector<DroneBattery>& batteries);

}  // namespace lampflight
