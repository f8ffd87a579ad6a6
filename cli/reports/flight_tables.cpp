#include "cli/reports/flight_tables.h"

#include <cmath>

#include <fmt/format.h>

#include "cli/reports/check_report.h"
#include "cli/reports/quantity_text.h"

namespace lampflight {
namespace {

/// Under half a degree, some centimetres on a halo, nobody sees a gap.
constexpr double closed_within_deg = 0.5;
constexpr double closed_within_m = 0.05;

/// Of a circle or ring by degrees, of other shapes a gap.
std::string closure_text(const std::optional<double>& deg, const std::optional<double>& m) {
    if (!m) return "open shape";
    if (!deg) return *m < closed_within_m ? "yes" : fmt::format("gap {} m", decimal_text(*m, 1));
    const double apart_deg = std::abs(*deg);
    if (apart_deg < closed_within_deg) return "yes";
    return fmt::format("{} {} m ({} deg)", *deg < 0.0 ? "gap" : "overlap", decimal_text(*m, 1),
                       decimal_text(apart_deg, 0));
}

std::string closure_text(const std::optional<Closure>& closure) {
    return closure ? closure_text(closure->deg, closure->m) : "-";
}

std::string span_text(double from_share, double to_share) {
    return fmt::format("{} to {}", decimal_text(from_share * 100.0, 0),
                       decimal_text(to_share * 100.0, 0));
}

/// "-" for nothing.
std::string maybe_text(const std::optional<double>& value, int decimals) {
    return value ? decimal_text(*value, decimals) : "-";
}

std::string size_text(const Extents& extents) {
    return fmt::format("{} x {}", decimal_text(extents.longer, 0),
                       decimal_text(extents.shorter, 0));
}

/// Whether the dial changes nothing that a table would show.
bool on_dial(const DialFigures& dial) {
    return std::abs(dial.radius_off_m) < 0.05 && std::abs(dial.trail_stops) < 0.05;
}

/// Without its degrees, which the columns beside it have.
std::string short_closure_text(const std::optional<double>& deg, const std::optional<double>& m) {
    const std::string text = m ? closure_text(deg, m) : "-";
    return text.substr(0, text.find(" ("));
}

std::vector<std::string> dial_cells(const DialFigures& dial) {
    return {decimal_text(dial.radius_m, 0),
            decimal_text(dial.speed_m_s, 1),
            short_closure_text(dial.closure_deg, dial.closure_m),
            decimal_text(dial.lap_s, 1),
            stops_text(dial.trail_stops),
            maybe_text(dial.best_speed_m_s, 1),
            short_closure_text(dial.best_closure_deg, dial.best_closure_m)};
}

}  // namespace

Table flight_table(const ShootFigures& figures) {
    Table table{{{"Flight"},
                 {"Take"},
                 {"In frame", Align::right},
                 {"Line closes", Align::left, 22, 10},
                 {"Lap s", Align::right},
                 {"Speed m/s", Align::right},
                 {"Flown while open s", Align::right},
                 {"Top m/s", Align::right},
                 {"Top m/s2", Align::right},
                 {"Length m", Align::right},
                 {"Across the frame %", Align::right},
                 {"Down the frame %", Align::right}},
                {},
                2};
    for (const TakeFigures& take : figures.takes)
        for (const FlightFigures& flight : take.flights) {
            const auto& box = flight.framing.box;
            table.rows.push_back(
                {flight.name, take.name, percent_text(flight.framing.in_frame),
                 closure_text(flight.closure_deg, flight.closure_m), decimal_text(flight.lap_s, 1),
                 decimal_text(flight.speed_m_s, 2), decimal_text(flight.airborne_s, 1),
                 decimal_text(flight.top_speed_m_s, 2),
                 decimal_text(flight.top_acceleration_m_s2, 2), decimal_text(flight.length_m, 1),
                 box ? span_text(box->left, box->right) : "behind",
                 box ? span_text(box->top, box->bottom) : "behind"});
        }
    return table;
}

Table seen_table(const ShootFigures& figures) {
    Table table{{{"Shape of"},
                 {"Take"},
                 {"Reads"},
                 {"Size px", Align::right},
                 {"Line px", Align::right},
                 {"Finest in lines", Align::right},
                 {"Plane seen at deg", Align::right},
                 {"Flattened to", Align::right}},
                {},
                2};
    for (const TakeFigures& take : figures.takes)
        for (const FlightFigures& flight : take.flights) {
            const SeenShape& seen = flight.seen;
            if (!seen.legible && !seen.plane_flattening) continue;
            table.rows.push_back(
                {flight.name, take.name, seen.legible ? legibility_word(*seen.legible) : "-",
                 seen.figure_px ? size_text(*seen.figure_px) : "-", maybe_text(seen.line_px, 1),
                 maybe_text(seen.detail_lines, 1), maybe_text(seen.plane_angle_deg, 0),
                 maybe_text(seen.plane_flattening, 2)});
        }
    return without_idle_columns(table);
}

Table dial_table(const ShootFigures& figures) {
    Table table{{{"Flight"},
                 {"Take"},
                 {"3 % slow", Align::left, 22, 10},
                 {"5 % slow", Align::left, 22, 10},
                 {"Dialled radius m", Align::right},
                 {"Dialled m/s", Align::right},
                 {"Then closes"},
                 {"Lap s", Align::right},
                 {"Trail stops", Align::right},
                 {"Best m/s", Align::right},
                 {"Best closes"}},
                {},
                2};
    for (const TakeFigures& take : figures.takes)
        for (const FlightFigures& flight : take.flights) {
            const bool dialled = flight.dial && !on_dial(*flight.dial);
            if (!flight.slow_3_percent && !dialled) continue;
            std::vector<std::string> row{flight.name, take.name,
                                         closure_text(flight.slow_3_percent),
                                         closure_text(flight.slow_5_percent)};
            if (flight.dial)
                for (std::string& cell : dial_cells(*flight.dial)) row.push_back(std::move(cell));
            table.rows.push_back(std::move(row));
        }
    return without_idle_columns(table);
}

Table wind_table(const ShootFigures& figures) {
    Table table{{{"In the wind"},
                 {"Take"},
                 {"Top through the air m/s", Align::right},
                 {"Leans to deg", Align::right},
                 {"Crabs to deg", Align::right},
                 {"In gusts m/s", Align::right},
                 {"Leans then deg", Align::right}},
                {},
                2};
    for (const TakeFigures& take : figures.takes)
        for (const FlightFigures& flight : take.flights) {
            if (!flight.wind) continue;
            const InWind& wind = *flight.wind;
            const bool gusty = wind.gust_air_m_s != wind.air_m_s;
            table.rows.push_back({flight.name, take.name, decimal_text(wind.air_m_s, 2),
                                  decimal_text(wind.lean_deg, 1), maybe_text(wind.crab_deg, 0),
                                  gusty ? decimal_text(wind.gust_air_m_s, 2) : "-",
                                  gusty ? decimal_text(wind.gust_lean_deg, 1) : "-"});
        }
    return without_idle_columns(table);
}

Table closing_table(const ShootFigures& figures) {
    Table table{{{"Astray"},
                 {"Take"},
                 {"Line closes in", Align::right},
                 {"95 % between", Align::right},
                 {"Half come within m", Align::right},
                 {"Closed within m", Align::right},
                 {"Wander m", Align::right}},
                {},
                2};
    for (const TakeFigures& take : figures.takes)
        for (const FlightFigures& flight : take.flights) {
            if (!flight.closing) continue;
            const ClosingChance& closing = *flight.closing;
            table.rows.push_back(
                {flight.name, take.name, percent_text(closing.chance()),
                 fmt::format("{} and {} %", decimal_text(100.0 * closing.range.low, 0),
                             decimal_text(100.0 * closing.range.high, 0)),
                 decimal_text(closing.median_m, 2), decimal_text(closing.gap_m, 2),
                 decimal_text(closing.wander_m, 2)});
        }
    return table;
}

}  // namespace lampflight
