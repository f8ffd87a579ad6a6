#include "cli/dusk_command.h"

#include <fmt/format.h>

#include "cli/json_text.h"
#include "cli/table.h"

namespace lampflight {
namespace {

using Json = nlohmann::ordered_json;

std::string window_text(const Dusk& dusk, int offset_min) {
    const std::string wanted = fmt::format("within half a stop of {}", stops_text(dusk.want_stops));
    if (!dusk.window) return fmt::format("The sky is never {}\n", wanted);
    const auto clock = [&](double unix_s) { return clock_text({unix_s, offset_min}); };
    return fmt::format("The sky is {} from {} {}\n", wanted, clock(dusk.window->from_s),
                       dusk.window->to_s ? "to " + clock(*dusk.window->to_s) : "on");
}

}  // namespace

Outcome run_dusk(const DuskOptions& options) {
    const auto opened = open_scene(options.scene);
    if (const auto* failed = std::get_if<Outcome>(&opened)) return *failed;
    const Shoot& shoot = std::get<Shoot>(opened);
    if (!shoot.place)
        return failure(ExitCode::wrong_scene,
                       "the scene has no [place]; dusk needs its latitude_deg, longitude_deg and "
                       "when");
    const Dusk dusk = dusk_of(shoot, shoot.takes.front());
    const int offset_min = shoot.place->when.offset_min;
    return {ExitCode::done,
            options.json ? dusk_json(dusk, offset_min) : dusk_text(dusk, offset_min), ""};
}

std::string dusk_text(const Dusk& dusk, int offset_min) {
    std::string text = fmt::format("{:.4g} s at f/{:.3g}, ISO {:.5g}\n", dusk.settings.shutter_s,
                                   dusk.settings.f_number, dusk.settings.iso) +
                       window_text(dusk, offset_min) + "\n";
    Table table{{{"At"},
                 {"Sun deg", Align::right},
                 {"Moon deg", Align::right},
                 {"Sky lx", Align::right},
                 {"Sky stops", Align::right},
                 {fmt::format("Shutter s for {}", stops_text(dusk.want_stops)), Align::right}},
                {}};
    for (const DuskMinute& minute : dusk.minutes)
        table.rows.push_back(
            {clock_text({minute.unix_s, offset_min}), decimal_text(minute.sun_altitude_deg, 1),
             decimal_text(minute.moon_altitude_deg, 1), digits_text(minute.horizontal_lx),
             stops_text(minute.sky_stops), digits_text(minute.wanted_shutter_s)});
    return text + to_text(table);
}

std::string dusk_json(const Dusk& dusk, int offset_min) {
    const auto at = [&](double unix_s) { return date_time_text({unix_s, offset_min}); };
    Json minutes = Json::array();
    for (const DuskMinute& minute : dusk.minutes)
        minutes.push_back({{"at", at(minute.unix_s)},
                           {"sun_altitude_deg", minute.sun_altitude_deg},
                           {"moon_altitude_deg", minute.moon_altitude_deg},
                           {"horizontal_lx", minute.horizontal_lx},
                           {"sky_stops", minute.sky_stops},
                           {"wanted_shutter_s", minute.wanted_shutter_s}});
    Json window = nullptr;
    if (dusk.window) {
        window = {{"from", at(dusk.window->from_s)}, {"to", nullptr}};
        if (dusk.window->to_s) window["to"] = at(*dusk.window->to_s);
    }
    return json_text({{"shutter_s", dusk.settings.shutter_s},
                      {"f_number", dusk.settings.f_number},
                      {"iso", dusk.settings.iso},
                      {"want_stops", dusk.want_stops},
                      {"window", window},
                      {"minutes", minutes}});
}

}  // namespace lampflight
