#include <optional>

#include "cli/reports/meter_report.h"
#include "cli/session/json_text.h"
#include "renderer/meter/exposure_steps.h"

namespace lampflight {
namespace {

using Json = nlohmann::ordered_json;

Json take_json(const TakeReading& take) {
    Json json{{"take", take.take},           {"exposure_lxs", take.exposure_lxs},
              {"stops", take.stops},         {"clipped", take.clipped},
              {"electrons", take.electrons}, {"snr", take.snr},
              {"layers", Json::object()},    {"shares", Json::object()}};
    for (const auto& [layer, exposure_lxs] : take.layers) {
        json["layers"][layer] = exposure_lxs;
        if (take.exposure_lxs > 0.0) json["shares"][layer] = exposure_lxs / take.exposure_lxs;
    }
    return json;
}

/// What the line of sight through a point meets, and how far behind or before the point: 0 for the
/// surface that the point lies on.
Json meets_json(const PointSight& sight) {
    Json json{{"what", sight.what}};
    if (sight.meets == PointSight::Meets::itself) json["behind_m"] = 0.0;
    if (sight.meets == PointSight::Meets::farther) json["behind_m"] = sight.behind_m;
    if (sight.meets == PointSight::Meets::nearer) json["before_m"] = -sight.behind_m;
    return json;
}

/// A point out of the frame has no exposure at all, which is not the same as none of it.
Json point_json(const PointReading& point) {
    Json json{{"name", point.name},       {"in_frame", point.in_frame},
              {"hidden", point.hidden},   {"exposure_lxs", nullptr},
              {"stops", nullptr},         {"take", nullptr},
              {"layers", Json::object()}, {"picture_stops", nullptr},
              {"clipped", nullptr},       {"electrons", nullptr},
              {"snr", nullptr},           {"shares", Json::object()},
              {"takes", Json::array()},   {"meets", nullptr}};
    if (!point.in_frame) return json;
    json["picture_stops"] = point.picture_stops;
    json["meets"] = meets_json(point.sight);
    json.update(take_json(point.brightest_take()));
    for (const TakeReading& take : point.takes) json["takes"].push_back(take_json(take));
    return json;
}

Json trail_json(const Shoot& shoot, const TrailReading& trail) {
    const Camera& camera = shoot.camera;
    Json json{{"peak_lxs", trail.peak_lxs},
              {"stops_over_saturation", trail.stops_over_saturation},
              {"width_px", trail.width_px},
              {"take", trail.take},
              {"peak_at", {trail.peak_px.x / camera.pixels.x, trail.peak_px.y / camera.pixels.y}},
              {"width_seen_px", nullptr},
              {"width_seen_sensor_px", nullptr}};
    if (!trail.width_seen_px) return json;
    json["width_seen_px"] = *trail.width_seen_px;
    json["width_seen_sensor_px"] = *trail.width_seen_px * camera.sensor_pixels_across;
    return json;
}

/// A place of a trail: in pixels of the picture and of the sensor, as a share of the frame's
/// height, and where, in shares of width and height; nulls where no place of it counts.
void put_width(Json& json, const std::string& which, const Camera& camera,
               const std::optional<LineWidth>& width) {
    const auto put = [&](const char* what, const Json& value) {
        json[which + what] = width ? value : Json(nullptr);
    };
    const LineWidth known = width.value_or(LineWidth{});
    put("_px", known.px);
    put("_sensor_px", known.px * camera.sensor_pixels_across);
    put("_share", known.px / camera.pixels.y);
    put("_at", {known.at_px.x / camera.pixels.x, known.at_px.y / camera.pixels.y});
}

Json widths_json(const Shoot& shoot, const LineWidths& widths) {
    Json json{{"take", widths.take}, {"lamp", widths.lamp}};
    put_width(json, "thickest", shoot.camera, widths.thickest);
    put_width(json, "thinnest", shoot.camera, widths.thinnest);
    json["peak_lxs"] = widths.peak_lxs;
    json["stops_over_saturation"] = widths.stops_over_saturation;
    return json;
}

/// The first step has no lower end and the last no upper one: null.
Json histogram_json(const MeterReading& reading) {
    const auto edges = step_edges_stops();
    Json histogram = Json::array();
    for (std::size_t i = 0; i < reading.step_shares.size(); ++i) {
        Json step{
            {"from_stops", nullptr}, {"to_stops", nullptr}, {"share", reading.step_shares[i]}};
        if (i > 0) step["from_stops"] = edges[i - 1];
        if (i < edges.size()) step["to_stops"] = edges[i];
        histogram.push_back(step);
    }
    return histogram;
}

}  // namespace

std::string meter_json(const Shoot& shoot, const MeterReading& reading) {
    Json points = Json::array();
    for (const PointReading& point : reading.points) points.push_back(point_json(point));
    Json trails = Json::object();
    for (const auto& [lamp, trail] : reading.trail) trails[lamp] = trail_json(shoot, trail);
    Json widths = Json::array();
    for (const LineWidths& trail : reading.trails) widths.push_back(widths_json(shoot, trail));
    Json takes = Json::array();
    for (const TakeLight& take : reading.takes)
        takes.push_back({{"name", take.take}, {"shares", Json(take.shares)}});
    return json_text({{"points", points},
                      {"burnt_share", reading.burnt_share},
                      {"black_share", reading.black_share},
                      {"trail", trails},
                      {"trails", widths},
                      {"histogram", histogram_json(reading)},
                      {"takes", takes}});
}

}  // namespace lampflight
