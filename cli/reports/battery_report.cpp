#include "cli/reports/battery_report.h"

#include <algorithm>

#include <fmt/format.h>

#include "cli/reports/quantity_text.h"

namespace lampflight {
namespace {

using Json = nlohmann::ordered_json;

/// The only drone of a scene may have no name.
std::string name_text(const DroneBattery& battery) {
    return battery.drone.empty() ? "the drone" : battery.drone;
}

/// "-" where it is unknown.
std::string minutes_text(const std::optional<double>& time_s) {
    return time_s ? decimal_text(*time_s / 60.0, 1) : "-";
}

std::string count_text(const std::optional<int>& count) {
    return count ? fmt::format("{}", *count) : "-";
}

/// "0 %" for a battery that is empty before.
std::string left_text(const std::optional<double>& share) {
    return share ? percent_text(std::max(0.0, *share)) : "-";
}

template <class Value>
Json maybe_json(const std::optional<Value>& value) {
    return value ? Json(*value) : Json(nullptr);
}

Json take_json(const BatteryTake& take) {
    return {{"take", take.take},
            {"battery", maybe_json(take.battery)},
            {"out_s", take.out_s},
            {"reset_s", take.reset_s},
            {"flown_s", take.flown_s},
            {"back_s", take.back_s},
            {"left_s", maybe_json(take.left_s)},
            {"left_share", maybe_json(take.left_share)}};
}

}  // namespace

Table battery_table(const std::vector<DroneBattery>& batteries) {
    Table table{{{"Battery of"},
                 {"Takes on one", Align::right},
                 {"Usable min", Align::right},
                 {"With lamps min", Align::right},
                 {"Out s", Align::right},
                 {"Home s", Align::right}},
                {}};
    for (const DroneBattery& battery : batteries)
        table.rows.push_back({name_text(battery), count_text(battery.tries),
                              minutes_text(battery.usable_s), minutes_text(battery.endurance_s),
                              decimal_text(battery.out_s, 1), decimal_text(battery.back_s, 1)});
    return table;
}

Table battery_takes_table(const std::vector<DroneBattery>& batteries) {
    Table table{{{"Drone"},
                 {"Take"},
                 {"Battery", Align::right},
                 {"Reset s", Align::right},
                 {"Flown s", Align::right},
                 {"Left min", Align::right},
                 {"Left", Align::right},
                 {"Home s", Align::right}},
                {},
                2};
    for (const DroneBattery& battery : batteries)
        for (const BatteryTake& take : battery.takes)
            table.rows.push_back({name_text(battery), take.take, count_text(take.battery),
                                  take.reset_s > 0.0 ? decimal_text(take.reset_s, 1) : "-",
                                  decimal_text(take.flown_s, 1), minutes_text(take.left_s),
                                  left_text(take.left_share), decimal_text(take.back_s, 1)});
    return without_idle_columns(table);
}

nlohmann::ordered_json scarcest_battery_json(const std::vector<DroneBattery>& batteries) {
    const DroneBattery* scarce = scarcest(batteries);
    if (!scarce) return nullptr;
    return {{"out_s", scarce->out_s}, {"usable_s", *scarce->usable_s}, {"tries", *scarce->tries}};
}

nlohmann::ordered_json batteries_json(const std::vector<DroneBattery>& batteries) {
    Json list = Json::array();
    for (const DroneBattery& battery : batteries) {
        Json takes = Json::array();
        for (const BatteryTake& take : battery.takes) takes.push_back(take_json(take));
        list.push_back({{"drone", battery.drone},
                        {"endurance_s", maybe_json(battery.endurance_s)},
                        {"usable_s", maybe_json(battery.usable_s)},
                        {"out_s", battery.out_s},
                        {"back_s", battery.back_s},
                        {"tries", maybe_json(battery.tries)},
                        {"takes", takes}});
    }
    return list;
}

}  // namespace lampflight
