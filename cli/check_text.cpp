#include <cmath>

#include <fmt/format.h>

#include "cli/check_report.h"
#include "cli/table.h"

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

Table take_table(const CheckReport& report) {
    Table table{{{"Take"},
                 {"Shutter", Align::right},
                 {"Aperture", Align::right},
                 {"ISO", Align::right},
                 {"EV", Align::right},
                 {"EV at ISO 100", Align::right}},
                {}};
    for (const TakeReport& take : report.takes)
        table.rows.push_back({take.name, fmt::format("{:.4g} s", take.settings.shutter_s),
                              fmt::format("f/{:.3g}", take.settings.f_number),
                              fmt::format("{:.5g}", take.settings.iso),
                              decimal_text(exposure_value(take.settings), 1),
                              decimal_text(ev100(take.settings), 1)});
    return table;
}

Table flight_table(const CheckReport& report) {
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
    for (const TakeReport& take : report.takes)
        for (const FlightReport& flight : take.flights) {
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
Table lamp_table(const CheckReport& report) {
    Table table{{{"Lamp"}, {"Take"}, {"Burns s", Align::right}, {"Flashes", Align::right}}, {}};
    for (const TakeReport& take : report.takes)
        for (const LampReport& lamp : take.lamps) {
            const double shutter_s = take.settings.shutter_s;
            if (!lamp.flashes && std::abs(lamp.lit_s - shutter_s) < 1e-3 * shutter_s) continue;
            table.rows.push_back({lamp.name, take.name, decimal_text(lamp.lit_s, 2),
                                  lamp.flashes ? std::to_string(*lamp.flashes) : "steady"});
        }
    return table;
}

Table caution_table(const CheckReport& report) {
    Table table{{{"Caution"}, {"About"}, {"What to watch"}}, {}};
    for (const Caution& caution : report.cautions)
        table.rows.push_back({level_word(caution.level), caution.about, caution.text});
    return table;
}

}  // namespace

std::string check_text(const CheckReport& report) {
    std::string text;
    if (!report.title.empty()) text = fmt::format("{}\n", report.title);
    text += fmt::format("Field of view {} deg across, {} deg down\n\n",
                        decimal_text(report.field_of_view_deg.x, 1),
                        decimal_text(report.field_of_view_deg.y, 1));
    text += to_text(take_table(report));
    const Table flights = flight_table(report);
    if (!flights.rows.empty()) text.append("\n").append(to_text(flights));
    const Table lamps = lamp_table(report);
    if (!lamps.rows.empty()) text.append("\n").append(to_text(lamps));
    text += "\n";
    text += report.cautions.empty() ? "No cautions.\n" : to_text(caution_table(report));
    return text;
}

}  // namespace lampflight
