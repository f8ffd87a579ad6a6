#include <algorithm>
#include <cmath>
#include <iterator>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "cli/reports/dusk_report.h"
#include "cli/reports/quantity_text.h"
#include "cli/reports/table.h"

namespace lampflight {
namespace {

constexpr double minute_s = 60.0;

std::string off_text(double metres, const char* plus, const char* minus) {
    return fmt::format("{} m {}", decimal_text(std::abs(metres), 1), metres < 0.0 ? minus : plus);
}

/// What the columns of sky and ground stand for.
std::string meaning_text(const DuskReport& report, std::size_t width) {
    const Dusk& dusk = report.dusk;
    const LitGround& ground = dusk.ground;
    const std::string where =
        fmt::format("{} and {} of the origin", off_text(ground.place_m.y, "north", "south"),
                    off_text(ground.place_m.x, "east", "west"));
    return paragraph(
               fmt::format("Sky: {}, as render shows it, from {} skies",
                           report.shows_sky ? "mean of the frame above a level horizon"
                                            : "the horizon ahead, for the frame ends below it",
                           report.domes),
               width) +
           paragraph(fmt::format("Ground: open and level, {}, {}{}", where,
                                 dusk.has_lamps ? "a square metre where the lamps light it most"
                                                : "where no lamp lights it",
                                 ground.in_frame ? "" : "; the frame shows none"),
                     width) +
           paragraph(fmt::format("Stars in the middle of the frame draw out to {} px",
                                 decimal_text(dusk.star_trail_px, 1)),
                     width);
}

std::vector<Column> light_columns(const Dusk& dusk) {
    return {{"Sun deg", Align::right},
            {"Sky stops", Align::right},
            {"Ground stops", Align::right},
            {"Lit ground stops", Align::right},
            {fmt::format("Shutter for sky {}", stops_text(dusk.want_stops)), Align::right}};
}

std::vector<std::string> light_cells(const DuskMinute& minute, bool has_lamps) {
    return {decimal_text(minute.sun_altitude_deg, 1), stops_text(minute.sky_stops),
            stops_text(minute.ground_stops), has_lamps ? stops_text(minute.lit_ground_stops) : "-",
            about_shutter_text(minute.wanted_shutter_s)};
}

Table take_table(const DuskReport& report) {
    const Dusk& dusk = report.dusk;
    Table table{{{"Take"}, {"Opens", Align::right}}, {}};
    std::ranges::move(light_columns(dusk), std::back_inserter(table.columns));
    for (const DuskTake& take : dusk.takes) {
        table.rows.push_back(
            {take.name, minute_text({take.opens.unix_s, report.place.when.offset_min})});
        std::ranges::move(light_cells(take.opens, take.has_lamps),
                          std::back_inserter(table.rows.back()));
    }
    return table;
}

double nearest_minute_s(double unix_s) {
    return std::floor(unix_s / minute_s + 0.5) * minute_s;
}

/// What happens from a row on until the next, by the minute that is nearest.
std::string events_text(const std::vector<DuskEvent>& events, double from_s, double to_s,
                        int offset_min) {
    std::vector<std::string> words;
    for (const DuskEvent& event : events) {
        const double told_s = nearest_minute_s(event.unix_s);
        if (told_s < from_s || told_s >= to_s) continue;
        words.push_back(fmt::format("{} {}{}", minute_text({told_s, offset_min}),
                                    event.kind == DuskEvent::Kind::take ? "take " : "",
                                    event.words));
    }
    return fmt::format("{}", fmt::join(words, ", "));
}

/// From and to when a photographer waits, sets up and flies: the sun's setting or rising, nautical
/// dusk or dawn, the takes and the windows, with ten minutes to spare.
std::pair<double, double> span_that_matters(const Dusk& dusk) {
    constexpr double deep_dusk_deg = -12.0, spare_s = 10.0 * minute_s;
    double from_s = dusk.span.to_s, to_s = dusk.span.from_s;
    const auto include = [&](double unix_s) {
        from_s = std::min(from_s, unix_s - spare_s);
        to_s = std::max(to_s, unix_s + spare_s);
    };
    for (const DuskMinute& minute : dusk.minutes)
        if (minute.sun_altitude_deg <= sunset_altitude_deg &&
            minute.sun_altitude_deg >= deep_dusk_deg)
            include(minute.unix_s);
    for (const DuskWindow& window : dusk.windows) {
        include(window.from_s);
        if (window.to_s) include(*window.to_s);
    }
    for (const DuskTake& take : dusk.takes) include(take.opens.unix_s);
    return {std::max(from_s, dusk.span.from_s), std::min(to_s, dusk.span.to_s)};
}

Table minute_table(const DuskReport& report, DuskRows rows, int every_min) {
    const Dusk& dusk = report.dusk;
    const int offset_min = report.place.when.offset_min;
    const auto events = events_of(dusk);
    Table table{{{"At"}}, {}};
    std::ranges::move(light_columns(dusk), std::back_inserter(table.columns));
    for (Column column : {Column{"Then", Align::left, 60, 14},
                          {"Stars px", Align::right},
                          {"Moon deg", Align::right},
                          {"Open ground lx", Align::right}})
        table.columns.push_back(std::move(column));
    auto [from_s, to_s] = span_that_matters(dusk);
    if (rows == DuskRows::all) from_s = dusk.span.from_s, to_s = dusk.span.to_s;
    const double step_s = minute_s * every_min;
    for (const DuskMinute& minute : dusk.minutes) {
        const bool is_told = std::fmod(minute.unix_s + minute_s * offset_min, step_s) == 0.0;
        if (!is_told || minute.unix_s + step_s <= from_s || minute.unix_s > to_s) continue;
        table.rows.push_back({minute_text({minute.unix_s, offset_min})});
        auto& row = table.rows.back();
        std::ranges::move(light_cells(minute, dusk.has_lamps), std::back_inserter(row));
        row.push_back(events_text(events, minute.unix_s, minute.unix_s + step_s, offset_min));
        row.push_back(decimal_text(minute.star_trail_px, 1));
        row.push_back(decimal_text(minute.moon_altitude_deg, 1));
        row.push_back(digits_text(minute.horizontal_lx));
    }
    return table;
}

}  // namespace

std::string dusk_text(const DuskReport& report, DuskRows rows, int every_min, std::size_t width) {
    std::string text;
    if (!report.title.empty()) text = paragraph(report.title, width);
    text += paragraph(
        fmt::format("{}, take {}", settings_text(report.dusk.settings), report.dusk.take), width);
    for (const std::string& sentence : dusk_sentences(report)) text += paragraph(sentence, width);
    text.append("\n").append(meaning_text(report, width));
    text.append("\n").append(to_text(take_table(report), width));
    if (rows != DuskRows::none)
        text.append("\n").append(to_text(minute_table(report, rows, every_min), width));
    return text;
}

}  // namespace lampflight
