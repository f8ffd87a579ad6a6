#include <cmath>

#include "cli/reports/battery_report.h"
#include "cli/reports/check_report.h"
#include "cli/session/json_text.h"
#include "cli/session/quality_words.h"
#include "scene/basics/angle.h"

namespace lampflight {
namespace {

using Json = nlohmann::ordered_json;

/// null for nothing.
Json maybe_json(const std::optional<double>& value) {
    return value ? Json(*value) : Json(nullptr);
}

void add_seen(Json& json, const SeenShape& seen) {
    json["flattening"] =
        maybe_json(seen.figure_px ? std::optional(seen.figure_px->ratio()) : std::nullopt);
    json["plane_angle_deg"] = maybe_json(seen.plane_angle_deg);
    json["plane_flattening"] = maybe_json(seen.plane_flattening);
    json["figure_px"] = nullptr;
    if (seen.figure_px) json["figure_px"] = {seen.figure_px->longer, seen.figure_px->shorter};
    json["line_px"] = maybe_json(seen.line_px);
    json["detail_lines"] = maybe_json(seen.detail_lines);
    json["legible"] = seen.legible ? Json(legibility_word(*seen.legible)) : Json(nullptr);
}

void add_slow(Json& json, const std::string& name, const std::optional<Closure>& closure) {
    json[name + "_deg"] = closure ? maybe_json(closure->deg) : Json(nullptr);
    json[name + "_m"] = closure ? Json(closure->m) : Json(nullptr);
}

Json dial_json(const std::optional<DialFigures>& dial) {
    if (!dial) return nullptr;
    return {{"radius_m", dial->radius_m},
            {"speed_m_s", dial->speed_m_s},
            {"lap_s", dial->lap_s},
            {"radius_off_m", dial->radius_off_m},
            {"trail_stops", dial->trail_stops},
            {"closure_deg", maybe_json(dial->closure_deg)},
            {"closure_m", maybe_json(dial->closure_m)},
            {"best_speed_m_s", maybe_json(dial->best_speed_m_s)},
            {"best_closure_deg", maybe_json(dial->best_closure_deg)},
            {"best_closure_m", maybe_json(dial->best_closure_m)}};
}

Json wind_json(const std::optional<InWind>& wind) {
    if (!wind) return nullptr;
    return {{"top_air_m_s", wind->air_m_s},
            {"lean_deg", wind->lean_deg},
            {"crab_deg", maybe_json(wind->crab_deg)},
            {"gust_top_air_m_s", wind->gust_air_m_s},
            {"gust_lean_deg", wind->gust_lean_deg}};
}

Json closing_json(const std::optional<ClosingChance>& closing) {
    if (!closing) return nullptr;
    return {{"wander_m", closing->wander_m}, {"gap_m", closing->gap_m},
            {"flights", closing->flights},   {"closed", closing->closed},
            {"chance", closing->chance()},   {"low", closing->range.low},
            {"high", closing->range.high},   {"median_m", closing->median_m}};
}

Json flight_json(const FlightFigures& flight) {
    Json json{{"name", flight.name},
              {"length_m", flight.length_m},
              {"lap_s", flight.lap_s},
              {"speed_m_s", flight.speed_m_s},
              {"top_speed_m_s", flight.top_speed_m_s},
              {"top_acceleration_m_s2", flight.top_acceleration_m_s2},
              {"airborne_s", flight.airborne_s},
              {"flown_s", flight.flown_s},
              {"closure_deg", maybe_json(flight.closure_deg)},
              {"closure_m", maybe_json(flight.closure_m)},
              {"in_frame", flight.framing.in_frame},
              {"frame_box", nullptr}};
    if (const auto& box = flight.framing.box)
        json["frame_box"] = {box->left, box->top, box->right, box->bottom};
    add_seen(json, flight.seen);
    add_slow(json, "closure_3_percent", flight.slow_3_percent);
    add_slow(json, "closure_5_percent", flight.slow_5_percent);
    json["dial"] = dial_json(flight.dial);
    json["wind"] = wind_json(flight.wind);
    json["closing"] = closing_json(flight.closing);
    return json;
}

Json sky_json(const SkyFigures& figures) {
    const NightSky& sky = figures.sky;
    return {{"when", date_time_text(figures.when)},
            {"sun_altitude_deg", sky.sun.altitude_deg},
            {"sun_bearing_deg", degrees(bearing_of(sky.sun.direction))},
            {"moon_altitude_deg", sky.moon.altitude_deg},
            {"moon_bearing_deg", degrees(bearing_of(sky.moon.direction))},
            {"moon_lit", sky.moon_lit},
            {"horizontal_lx", figures.horizontal_lx}};
}

Json event_json(const std::optional<double>& unix_s, int offset_min) {
    return unix_s ? Json(date_time_text({*unix_s, offset_min})) : Json(nullptr);
}

Json evening_json(const PlaceFigures& figures) {
    const int offset_min = figures.place.when.offset_min;
    Json sun = Json::array();
    for (const SunPassage& passage : figures.evening.sun) {
        sun.push_back({{"altitude_deg", passage.altitude_deg},
                       {"passing", passing_word(passage.passing)},
                       {"at", nullptr}});
        if (passage.passing == Passing::sinks_through)
            sun.back()["at"] = event_json(passage.unix_s, offset_min);
    }
    return {{"sunset", sun.front()["at"]},
            {"sun", sun},
            {"moonrise", event_json(figures.evening.moonrise_s, offset_min)},
            {"moonset", event_json(figures.evening.moonset_s, offset_min)}};
}

Json place_json(const PlaceFigures& figures) {
    Json json = sky_json(figures.first);
    json["latitude_deg"] = figures.place.latitude_deg;
    json["longitude_deg"] = figures.place.longitude_deg;
    json["elevation_m"] = figures.place.elevation_m;
    json["evening"] = evening_json(figures);
    return json;
}

Json take_json(const TakeFigures& take) {
    Json flights = Json::array();
    for (const FlightFigures& flight : take.flights) flights.push_back(flight_json(flight));
    Json lamps = Json::array();
    for (const LampFigures& lamp : take.lamps) {
        lamps.push_back({{"name", lamp.name}, {"lit_s", lamp.lit_s}, {"flashes", nullptr}});
        if (lamp.flashes) lamps.back()["flashes"] = *lamp.flashes;
    }
    Json json{{"name", take.name},
              {"shutter_s", take.settings.shutter_s},
              {"f_number", take.settings.f_number},
              {"iso", take.settings.iso},
              {"ev", exposure_value(take.settings)},
              {"ev100", ev100(take.settings)},
              {"flights", flights},
              {"lamps", lamps}};
    if (take.sky) json["sky"] = sky_json(*take.sky);
    return json;
}

Json own_lights_json(const std::vector<OwnLightFigures>& lights) {
    Json list = Json::array();
    for (const OwnLightFigures& light : lights) {
        list.push_back({{"name", light.name},
                        {"effective_cd", light.effective_cd},
                        {"seen_from_m", light.seen_from_m},
                        {"per_minute", maybe_json(light.per_minute)},
                        {"dots_apart_m", nullptr}});
        if (light.least_apart_m)
            list.back()["dots_apart_m"] = {*light.least_apart_m, *light.most_apart_m};
    }
    return list;
}

}  // namespace

std::string check_json(const ShootFigures& figures, const RenderNeed& render) {
    Json takes = Json::array();
    for (const TakeFigures& take : figures.takes) takes.push_back(take_json(take));
    Json cautions = Json::array();
    for (const Caution& caution : figures.cautions)
        cautions.push_back({{"about", caution.about},
                            {"level", level_word(caution.level)},
                            {"text", caution.text}});
    Json json{{"title", figures.title},
              {"field_of_view_deg", {figures.field_of_view_deg.x, figures.field_of_view_deg.y}},
              {"takes", takes}};
    json["render"] = {{"quality", word_of(render.quality)},
                      {"pixels", {render.pixels.x, render.pixels.y}},
                      {"memory_bytes", std::ceil(render.memory_bytes)},
                      {"about_s", render.seconds}};
    json["own_lights"] = own_lights_json(figures.own_lights);
    if (figures.place) json["place"] = place_json(*figures.place);
    json["battery"] = scarcest_battery_json(figures.batteries);
    json["batteries"] = batteries_json(figures.batteries);
    json["cautions"] = cautions;
    return json_text(json);
}

}  // namespace lampflight
