#include <cmath>

#include <fmt/format.h>

#include "cli/reports/check_report.h"
#include "cli/reports/table.h"
#include "scene/basics/angle.h"

namespace lampflight {
namespace {

/// Under half a degree, some centimetres on a halo, nobody sees a gap.
constexpr double closed_within_deg = 0.5;

std::string closure_text(const std::optional<double>& closure_deg) {
    if (!closure_deg) return "open shape";
    if (std::abs(*closure_deg) < closed_within_deg) return "closed";
    return fmt::format("{} {} deg", *closure_deg < 0.0 ? "gap" : "overlap",
                       decimal_text(std::abs(*closure_deg), 0));
}

std::string span_text(double from_share, double to_share) {
    return fmt::format("{} to {}", decimal_text(from_share * 100.0, 0),
                       decimal_text(to_share * 100.0, 0));
}

Table take_table(const ShootFigures& figures) {
    Table table{{{"Take"},
                 {"Shutter", Align::right},
                 {"Aperture", Align::right},
                 {"ISO", Align::right},
                 {"EV", Align::right},
                 {"EV at ISO 100", Align::right}},
                {}};
    for (const TakeFigures& take : figures.takes)
        table.rows.push_back({take.name, fmt::format("{:.4g} s", take.settings.shutter_s),
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

std::string place_lines(const PlaceFigures& figures) {
    const Place& place = figures.place;
    const NightSky& sky = figures.first.sky;
    return fmt::format(
        "{}, {:.4f} {}, {:.4f} {}, {:.0f} m up\n{}\n{}, {} lit\n{} lx on open level ground, "
        "without "
        "lamps\n",
        date_time_text(figures.first.when), std::abs(place.latitude_deg),
        place.latitude_deg < 0.0 ? 'S' : 'N', std::abs(place.longitude_deg),
        place.longitude_deg < 0.0 ? 'W' : 'E', place.elevation_m, body_line("Sun", sky.sun),
        body_line("Moon", sky.moon), percent_text(sky.moon_lit),
        digits_text(figures.first.horizontal_lx));
}

std::string sun_event(const SunPassage& passage) {
    const bool at_horizon = passage.altitude_deg == sunset_altitude_deg;
    if (passage.passing == Passing::sinks_through)
        return at_horizon ? "Sunset" : fmt::format("Sun at {} deg", passage.altitude_deg);
    if (at_horizon)
        return passage.passing == Passing::stays_above ? "The sun does not set"
                                                       : "The sun does not rise";
    return fmt::format("The sun {} {} deg", passing_word(passage.passing), passage.altitude_deg);
}

Table evening_table(const PlaceFigures& figures) {
    const int offset_min = figures.place.when.offset_min;
    const auto clock = [&](double unix_s) { return clock_text({unix_s, offset_min}); };
    Table table{{{"Evening"}, {"At", Align::right}}, {}};
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
                 {"Sky lx", Align::right}},
                {}};
    for (const TakeFigures& take : figures.takes)
        table.rows.push_back({take.name, clock_text(take.sky->when),
                              decimal_text(take.sky->sky.sun.altitude_deg, 1),
                              decimal_text(take.sky->sky.moon.altitude_deg, 1),
                              digits_text(take.sky->horizontal_lx)});
    return table;
}

Table flight_table(const ShootFigures& figures) {
    Table table{{{"Flight"},
                 {"Take"},
                 {"Length m", Align::right},
                 {"Lap s", Align::right},
                 {"Speed m/s", Align::right},
                 {"Top m/s", Align::right},
                 {"Top m/s2", Align::right},
                 {"Airborne s", Align::right},
                 {"Closure"},
                 {"In frame", Align::right},
                 {"Across %", Align::right},
                 {"Down %", Align::right}},
                {}};
    for (const TakeFigures& take : figures.takes)
        for (const FlightFigures& flight : take.flights) {
            const auto& box = flight.framing.box;
            table.rows.push_back(
                {flight.name, take.name, decimal_text(flight.length_m, 1),
                 decimal_text(flight.lap_s, 1), decimal_text(flight.speed_m_s, 2),
                 decimal_text(flight.top_speed_m_s, 2),
                 decimal_text(flight.top_acceleration_m_s2, 2), decimal_text(flight.airborne_s, 1),
                 closure_text(flight.closure_deg), percent_text(flight.framing.in_frame),
                 box ? span_text(box->left, box->right) : "behind",
                 box ? span_text(box->top, box->bottom) : "behind"});
        }
    return table;
}

/// Lamps that do not simply burn while the shutter is open.
Table lamp_table(const ShootFigures& figures) {
    Table table{{{"Lamp"}, {"Take"}, {"Burns s", Align::right}, {"Flashes", Align::right}}, {}};
    for (const TakeFigures& take : figures.takes)
        for (const LampFigures& lamp : take.lamps) {
            const double shutter_s = take.settings.shutter_s;
            if (!lamp.flashes && std::abs(lamp.lit_s - shutter_s) < 1e-3 * shutter_s) continue;
            table.rows.push_back({lamp.name, take.name, decimal_text(lamp.lit_s, 2),
                                  lamp.flashes ? std::to_string(*lamp.flashes) : "steady"});
        }
    return table;
}

Table caution_table(const ShootFigures& figures) {
    Table table{{{"Caution"}, {"About"}, {"What to watch"}}, {}};
    for (const Caution& caution : figures.cautions)
        table.rows.push_back({level_word(caution.level), caution.about, caution.text});
    return table;
}

}  // namespace

std::string check_text(const ShootFigures& figures) {
    std::string text;
    if (!figures.title.empty()) text = fmt::format("{}\n", figures.title);
    text += fmt::format("Field of view {} deg across, {} deg down\n\n",
                        decimal_text(figures.field_of_view_deg.x, 1),
                        decimal_text(figures.field_of_view_deg.y, 1));
    text += to_text(take_table(figures));
    if (figures.place) {
        text.append("\n").append(place_lines(*figures.place));
        text.append("\n").append(to_text(evening_table(*figures.place)));
        text.append("\n").append(to_text(sky_table(figures)));
    }
    const Table flights = flight_table(figures);
    if (!flights.rows.empty()) text.append("\n").append(to_text(flights));
    const Table lamps = lamp_table(figures);
    if (!lamps.rows.empty()) text.append("\n").append(to_text(lamps));
    text += "\n";
    text += figures.cautions.empty() ? "No cautions.\n" : to_text(caution_table(figures));
    return text;
}

}  // namespace lampflight
