#include <fmt/format.h>

#include "cli/meter_command.h"
#include "cli/table.h"

namespace lampflight {
namespace {

std::string exposure_text(double exposure_lxs) {
    return fmt::format("{} lx s", digits_text(exposure_lxs));
}

std::string layer_stops_text(double exposure_lxs, double iso) {
    // Glow takes a little light from where it comes from.
    if (exposure_lxs < 0.0) return "takes";
    return stops_text(stops_from_mid_grey(exposure_lxs, iso));
}

void append_point(Table& table, const Shoot& shoot, const PointReading& point) {
    if (!point.in_frame) {
        table.rows.push_back({point.name, "-", "-", "-", "-", "out of frame"});
        return;
    }
    table.rows.push_back({point.name, point.take, "all", stops_text(point.stops),
                          exposure_text(point.exposure_lxs),
                          point.hidden ? "hidden: this is what stands before it" : ""});
    const Take* take = find_named(shoot.takes, point.take);
    if (take == nullptr) return;
    const double iso = settings_of(shoot, *take).iso;
    for (const auto& [layer, exposure_lxs] : point.layers)
        if (exposure_lxs != 0.0)
            table.rows.push_back(
                {"", "", layer, layer_stops_text(exposure_lxs, iso), exposure_text(exposure_lxs)});
}

std::string points_text(const Shoot& shoot, const MeterReading& reading) {
    if (reading.points.empty())
        return "No points to meter; add a [[point]] with name and position_m to the scene.\n";
    Table table{{{"Point"},
                 {"Take"},
                 {"Light"},
                 {"Stops", Align::right},
                 {"Exposure", Align::right},
                 {"Remark"}},
                {}};
    for (const PointReading& point : reading.points) append_point(table, shoot, point);
    return "Stops from mid-grey on the film\n" + to_text(table);
}

std::string trails_text(const MeterReading& reading) {
    if (reading.trail.empty()) return "";
    Table table{{{"Trail of"},
                 {"Peak", Align::right},
                 {"Stops over saturation", Align::right},
                 {"Width", Align::right}},
                {}};
    for (const auto& [lamp, trail] : reading.trail)
        table.rows.push_back({lamp, exposure_text(trail.peak_lxs),
                              stops_text(trail.stops_over_saturation),
                              decimal_text(trail.width_px, 1) + " px"});
    return fmt::format("\n{}", to_text(table));
}

}  // namespace

std::string meter_text(const Shoot& shoot, const MeterReading& reading) {
    return points_text(shoot, reading) +
           fmt::format(
               "\nOf the photograph, {} is burnt out and {} is black (over 6 stops down).\n",
               percent_text(reading.burnt_share), percent_text(reading.black_share)) +
           trails_text(reading);
}

}  // namespace lampflight
