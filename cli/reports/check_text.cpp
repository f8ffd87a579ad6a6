#include <cctype>
#include <cmath>

#include <fmt/format.h>

#include "cli/reports/battery_report.h"
#include "cli/reports/check_report.h"
#include "cli/reports/flight_tables.h"
#include "cli/reports/quantity_text.h"
#include "cli/reports/table.h"
#include "cli/session/quality_words.h"
#include "scene/basics/angle.h"

namespace lampflight {
namespace {

Table take_table(const ShootFigures& figures) {
    Table table{{{"Take"},
                 {"Shutter", Align::right},
                 {"f-number", Align::right},
                 {"ISO", Align::right},
                 {"EV", Align::right},
                 {"EV at ISO 100", Align::right}},
                {}};
    for (const TakeFigures& take : figures.takes)
        table.rows.push_back({take.name, shutter_text(take.settings.shutter_s),
                              fmt::format("f/{:.3g}", take.settings.f_number),
                              fmt::format("{:.5g}", take.settings.iso),
                              decimal_text(exposure_value(take.settings), 1),
                              decimal_text(ev100(take.settings), 1)});
    return table;
}

std::string body_line(const char* name, const SkyBody& body) {
    return fmt::format("{} {} deg {} the horizon, bearing {} deg", name,
                       decimal_text(std::abs(body.altitude_deg), 1),
                       body.altitude_deg < 0.0 ? "below" : "above",
                       decimal_text(degrees(bearing_of(body.direction)), 1));
}

std::string place_lines(const PlaceFigures& figures, std::size_t width) {
    const Place& place = figures.place;
    const NightSky& sky = figures.first.sky;
    const std::string when = date_time_text(figures.first.when);
    return paragraph(
               fmt::format("{}, {} by a clock at {}; {:.4f} {}, {:.4f} {}, {:.0f} m up",
                           when.substr(0, 10), minute_text(figures.first.when),
                           offset_text(figures.first.when.offset_min), std::abs(place.latitude_deg),
                           place.latitude_deg < 0.0 ? 'S' : 'N', std::abs(place.longitude_deg),
                           place.longitude_deg < 0.0 ? 'W' : 'E', place.elevation_m),
               width) +
           paragraph(body_line("Sun", sky.sun), width) +
           paragraph(
               fmt::format("{}, {} lit", body_line("Moon", sky.moon), percent_text(sky.moon_lit)),
               width) +
           paragraph(fmt::format("{} lx on open level ground, without lamps",
                                 digits_text(figures.first.horizontal_lx)),
                     width);
}

std::string sun_event(const SunPassage& passage) {
    const bool at_horizon = passage.altitude_deg == sunset_altitude_deg;
    if (passage.passing == Passing::sinks_through) {
        std::string words = sun_passage_words(passage);
        if (!at_horizon && !words.starts_with("sun"))
            words += fmt::format(" (sun {} deg)", passage.altitude_deg);
        words.front() = static_cast<char>(std::toupper(words.front()));
        return words;
    }
    if (at_horizon)
        return passage.passing == Passing::stays_above ? "The sun does not set"
                                                       : "The sun does not rise";
    return fmt::format("The sun {} {} deg", passing_word(passage.passing), passage.altitude_deg);
}

Table evening_table(const PlaceFigures& figures) {
    const int offset_min = figures.place.when.offset_min;
    const auto clock = [&](double unix_s) { return minute_text({unix_s, offset_min}); };
    Table table{{{"Evening", Align::left, 50, 34}, {"At", Align::right}}, {}};
    for (const SunPassage& passage : figures.evening.sun)
        table.rows.push_back({sun_event(passage), passage.passing == Passing::sinks_through
                                                      ? clock(passage.unix_s)
                                                      : "-"});
    for (const auto& [name, time_s] : {std::pair{"Moonrise", figures.evening.moonrise_s},
                                       std::pair{"Moonset", figures.evening.moonset_s}})
        table.rows.push_back({name, time_s ? clock(*time_s) : "-"});
    return table;
}

/// The sky as each take opens.
Table sky_table(const ShootFigures& figures) {
    Table table{{{"Take"},
                 {"Opens", Align::right},
                 {"Sun deg", Align::right},
                 {"Moon deg", Align::right},
                 {"Open ground lx", Align::right}},
                {}};
    for (const TakeFigures& take : figures.takes)
        table.rows.push_back({take.name, minute_text(take.sky->when),
                              decimal_text(take.sky->sky.sun.altitude_deg, 1),
                              decimal_text(take.sky->sky.moon.altitude_deg, 1),
                              digits_text(take.sky->horizontal_lx)});
    return table;
}

/// Lamps that do not simply burn while the shutter is open.
Table lamp_table(const ShootFigures& figures) {
    Table table{{{"Lamp"}, {"Take"}, {"Lit s", Align::right}, {"Flashes", Align::right}}, {}, 2};
    for (const TakeFigures& take : figures.takes)
        for (const LampFigures& lamp : take.lamps) {
            const double shutter_s = take.settings.shutter_s;
            if (!lamp.flashes && std::abs(lamp.lit_s - shutter_s) < 1e-3 * shutter_s) continue;
            table.rows.push_back({lamp.name, take.name, decimal_text(lamp.lit_s, 2),
                                  lamp.flashes ? std::to_string(*lamp.flashes) : "steady"});
        }
    return table;
}

/// "1.57", or "1.2 to 3.4" where flights differ.
std::string dots_text(const OwnLightFigures& light) {
    if (!light.least_apart_m) return "-";
    const std::string least = digits_text(*light.least_apart_m);
    const std::string most = digits_text(*light.most_apart_m);
    return least == most ? least : fmt::format("{} to {}", least, most);
}

Table own_light_table(const ShootFigures& figures) {
    Table table{{{"Own light"},
                 {"Effective cd", Align::right},
                 {"Seen from km", Align::right},
                 {"Flashes per min", Align::right},
                 {"Dots apart m", Align::right}},
                {}};
    for (const OwnLightFigures& light : figures.own_lights)
        table.rows.push_back({light.name, digits_text(light.effective_cd),
                              decimal_text(light.seen_from_m / 1000.0, 1),
                              light.per_minute ? digits_text(*light.per_minute) : "steady",
                              dots_text(light)});
    return table;
}

Table caution_table(const ShootFigures& figures) {
    Table table{{{"Caution"}, {"About"}, {"What to watch", Align::left, 600, 30}}, {}};
    for (const Caution& caution : figures.cautions)
        table.rows.push_back({level_word(caution.level), caution.about, caution.text});
    return table;
}

}  // namespace

std::string check_text(const ShootFigures& figures, const RenderNeed& render, std::size_t width) {
    std::string text;
    if (!figures.title.empty()) text = paragraph(figures.title, width);
    text += fmt::format("Field of view {} deg across, {} deg down\n",
                        decimal_text(figures.field_of_view_deg.x, 1),
                        decimal_text(figures.field_of_view_deg.y, 1));
    text += fmt::format("Render {}, {} x {}: up to {}, {}\n\n", word_of(render.quality),
                        render.pixels.x, render.pixels.y, gigabytes_text(render.memory_bytes),
                        about_seconds_text(render.seconds));
    const auto add = [&](const Table& table) {
        if (!table.rows.empty()) text.append("\n").append(to_text(table, width));
    };
    text += to_text(take_table(figures), width);
    if (figures.place) {
        text.append("\n").append(place_lines(*figures.place, width));
        add(evening_table(*figures.place));
        add(sky_table(figures));
    }
    add(flight_table(figures));
    add(seen_table(figures));
    add(dial_table(figures));
    add(closing_table(figures));
    add(wind_table(figures));
    add(lamp_table(figures));
    add(battery_table(figures.batteries));
    add(battery_takes_table(figures.batteries));
    add(own_light_table(figures));
    add(caution_table(figures));
    if (figures.cautions.empty()) text += "\nNo cautions.\n";
    return text;
}

}  // namespace lampflight
