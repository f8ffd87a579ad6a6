#include "cli/json_text.h"
#include "cli/meter_command.h"

namespace lampflight {
namespace {

using Json = nlohmann::ordered_json;

/// A point out of the frame has no exposure at all, which is not the same as none of it.
Json point_json(const PointReading& point) {
    Json json{{"name", point.name},      {"in_frame", point.in_frame}, {"hidden", point.hidden},
              {"exposure_lxs", nullptr}, {"stops", nullptr},           {"take", nullptr},
              {"layers", Json::object()}};
    if (!point.in_frame) return json;
    json["exposure_lxs"] = point.exposure_lxs;
    json["stops"] = point.stops;
    json["take"] = point.take;
    for (const auto& [layer, exposure_lxs] : point.layers) json["layers"][layer] = exposure_lxs;
    return json;
}

}  // namespace

std::string meter_json(const MeterReading& reading) {
    Json points = Json::array();
    for (const PointReading& point : reading.points) points.push_back(point_json(point));
    Json trails = Json::object();
    for (const auto& [lamp, trail] : reading.trail)
        trails[lamp] = {{"peak_lxs", trail.peak_lxs},
                        {"stops_over_saturation", trail.stops_over_saturation},
                        {"width_px", trail.width_px}};
    return json_text({{"points", points},
                      {"burnt_share", reading.burnt_share},
                      {"black_share", reading.black_share},
                      {"trail", trails}});
}

}  // namespace lampflight
