#include "cli/check_report.h"
#include "cli/json_text.h"

namespace lampflight {
namespace {

using Json = nlohmann::ordered_json;

Json flight_json(const FlightReport& flight) {
    Json json{{"name", flight.name},
              {"length_m", flight.length_m},
              {"lap_s", flight.lap_s},
              {"speed_m_s", flight.speed_m_s},
              {"top_speed_m_s", flight.top_speed_m_s},
              {"top_acceleration_m_s2", flight.top_acceleration_m_s2},
              {"airborne_s", flight.airborne_s},
              {"closure_deg", nullptr},
              {"in_frame", flight.framing.in_frame},
              {"frame_box", nullptr}};
    if (flight.closure_deg) json["closure_deg"] = *flight.closure_deg;
    if (const auto& box = flight.framing.box)
        json["frame_box"] = {box->left, box->top, box->right, box->bottom};
    return json;
}

Json take_json(const TakeReport& take) {
    Json flights = Json::array();
    for (const FlightReport& flight : take.flights) flights.push_back(flight_json(flight));
    Json lamps = Json::array();
    for (const LampReport& lamp : take.lamps) {
        lamps.push_back({{"name", lamp.name}, {"lit_s", lamp.lit_s}, {"flashes", nullptr}});
        if (lamp.flashes) lamps.back()["flashes"] = *lamp.flashes;
    }
    return {{"name", take.name},
            {"shutter_s", take.settings.shutter_s},
            {"f_number", take.settings.f_number},
            {"iso", take.settings.iso},
            {"ev", exposure_value(take.settings)},
            {"ev100", ev100(take.settings)},
            {"flights", flights},
            {"lamps", lamps}};
}

}  // namespace

std::string check_json(const CheckReport& report) {
    Json takes = Json::array();
    for (const TakeReport& take : report.takes) takes.push_back(take_json(take));
    Json cautions = Json::array();
    for (const Caution& caution : report.cautions)
        cautions.push_back({{"about", caution.about},
                            {"level", level_word(caution.level)},
                            {"text", caution.text}});
    return json_text(
        {{"title", report.title},
         {"field_of_view_deg", {report.field_of_view_deg.x, report.field_of_view_deg.y}},
         {"takes", takes},
         {"cautions", cautions}});
}

}  // namespace lampflight
