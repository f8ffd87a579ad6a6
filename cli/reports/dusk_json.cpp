#include "cli/reports/dusk_report.h"
#include "cli/session/json_text.h"

namespace lampflight {
namespace {

using Json = nlohmann::ordered_json;

class DuskJson {
public:
    explicit DuskJson(const DuskReport& report) : report_(report), dusk_(report.dusk) {}

    Json whole() const {
        Json json{{"title", report_.title},
                  {"take", dusk_.take},
                  {"shutter_s", dusk_.settings.shutter_s},
                  {"f_number", dusk_.settings.f_number},
                  {"iso", dusk_.settings.iso},
                  {"want_stops", dusk_.want_stops},
                  {"sky_in_frame", report_.shows_sky},
                  {"ground", ground()},
                  {"star_trail_px", dusk_.star_trail_px}};
        const Json all = windows();
        json["window"] = all.empty() ? Json(nullptr) : all.front();
        json["windows"] = all;
        json["nearest"] = {{"at", at(dusk_.nearest.unix_s)},
                           {"sky_stops", dusk_.nearest.sky_stops},
                           {"off_stops", dusk_.nearest.sky_stops - dusk_.want_stops},
                           {"wanted_shutter_s", dusk_.nearest.wanted_shutter_s}};
        json["sky_and_lit_ground_alike"] = Json::array();
        for (const double unix_s : dusk_.alike_s)
            json["sky_and_lit_ground_alike"].push_back(at(unix_s));
        json["events"] = Json::array();
        for (const DuskEvent& event : events_of(dusk_))
            if (event.kind != DuskEvent::Kind::take)
                json["events"].push_back({{"at", at(event.unix_s)}, {"what", event.code}});
        json["takes"] = takes();
        json["minutes"] = Json::array();
        for (const DuskMinute& minute : dusk_.minutes)
            json["minutes"].push_back(minute_json(minute, dusk_.has_lamps));
        return json;
    }

private:
    std::string at(double unix_s) const {
        return date_time_text({unix_s, report_.place.when.offset_min});
    }

    Json ground() const {
        return {{"east_m", dusk_.ground.place_m.x},
                {"north_m", dusk_.ground.place_m.y},
                {"in_frame", dusk_.ground.in_frame},
                {"lit", dusk_.has_lamps}};
    }

    Json windows() const {
        Json all = Json::array();
        for (const DuskWindow& window : dusk_.windows) {
            all.push_back({{"from", at(window.from_s)}, {"to", nullptr}});
            if (window.to_s) all.back()["to"] = at(*window.to_s);
        }
        return all;
    }

    /// Without lamps there is no lit ground.
    Json minute_json(const DuskMinute& minute, bool has_lamps) const {
        Json json{{"at", at(minute.unix_s)},
                  {"sun_altitude_deg", minute.sun_altitude_deg},
                  {"moon_altitude_deg", minute.moon_altitude_deg},
                  {"horizontal_lx", minute.horizontal_lx},
                  {"sky_stops", minute.sky_stops},
                  {"ground_stops", minute.ground_stops}};
        if (has_lamps) json["lit_ground_stops"] = minute.lit_ground_stops;
        json["wanted_shutter_s"] = minute.wanted_shutter_s;
        json["star_trail_px"] = minute.star_trail_px;
        return json;
    }

    Json takes() const {
        Json all = Json::array();
        for (const DuskTake& take : dusk_.takes) {
            Json json{{"name", take.name},
                      {"shutter_s", take.settings.shutter_s},
                      {"f_number", take.settings.f_number},
                      {"iso", take.settings.iso}};
            json.update(minute_json(take.opens, take.has_lamps));
            all.push_back(std::move(json));
        }
        return all;
    }

    const DuskReport& report_;
    const Dusk& dusk_;
};

}  // namespace

std::string dusk_json(const DuskReport& report) {
    return json_text(DuskJson(report).whole());
}

}  // namespace lampflight
