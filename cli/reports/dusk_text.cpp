#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "cli/reports/dusk_report.h"
#include "cli/reports/table.h"

namespace lampflight {
namespace {

std::string off_text(double metres, const char* plus, const char* minus) {
    return fmt::format("{} m {}", decimal_text(std::abs(metres), 1), metres < 0.0 ? minus : plus);
}

/// What the columns of sky and ground stand for.
std::string meaning_text(const DuskReport& report) {
    const Dusk& dusk = report.dusk;
    const LitGround& ground = dusk.ground;
    std::string text =
        fmt::format("Sky: {}, as render shows it, from {} skies\n",
                    report.shows_sky ? "mean of the frame above a level horizon"
                                     : "the horizon ahead, for the frame ends below it",
                    report.domes);
    text += fmt::format(
        "Ground: open and level, {} and {} of the origin, {}{}\n",
        off_text(ground.place_m.y, "north", "south"), off_text(ground.place_m.x, "east", "west"),
        dusk.has_lamps ? "a square metre where the lamps light it most" : "where no lamp lights it",
        ground.in_frame ? "" : "; the frame shows none");
    return text + fmt::format("Stars in the middle of the frame draw out to {} px\n",
                              digits_text(dusk.star_trail_px));
}

std::vector<std::string> stops_cells(const DuskMinute& minute, bool has_lamps) {
    return {stops_text(minute.sky_stops), stops_text(minute.ground_stops),
            has_lamps ? stops_text(minute.lit_ground_stops) : "-"};
}

Table take_table(const DuskReport& report) {
    const Dusk& dusk = report.dusk;
    Table table{{{"Take"},
                 {"Opens", Align::right},
                 {"Sun deg", Align::right},
                 {"Sky stops", Align::right},
                 {"Ground", Align::right},
                 {"Lit", Align::right},
                 {fmt::format("Shutter s for {}", stops_text(dusk.want_stops)), Align::right}},
                {}};
    for (const DuskTake& take : dusk.takes) {
        const auto stops = stops_cells(take.opens, take.has_lamps);
        table.rows.push_back({take.name,
                              clock_text({take.opens.unix_s, report.place.when.offset_min}),
                              decimal_text(take.opens.sun_altitude_deg, 1), stops[0], stops[1],
                              stops[2], digits_text(take.opens.wanted_shutter_s)});
    }
    return table;
}

/// What happens within the minute.
std::string events_text(const std::vector<DuskEvent>& events, double from_s) {
    std::vector<std::string> words;
    for (const DuskEvent& event : events)
        if (event.unix_s >= from_s && event.unix_s < from_s + 60.0)
            words.push_back(event.kind == DuskEvent::Kind::take ? "take " + event.words
                                                                : event.words);
    return fmt::format("{}", fmt::join(words, ", "));
}

Table minute_table(const DuskReport& report) {
    const Dusk& dusk = report.dusk;
    const auto events = events_of(dusk);
    Table table{{{"At"},
                 {"Sun deg", Align::right},
                 {"Moon deg", Align::right},
                 {"Sky lx", Align::right},
                 {"Sky stops", Align::right},
                 {"Ground", Align::right},
                 {"Lit", Align::right},
                 {fmt::format("Shutter s for {}", stops_text(dusk.want_stops)), Align::right},
                 {"Stars px", Align::right},
                 {"Within the minute"}},
                {}};
    for (const DuskMinute& minute : dusk.minutes) {
        const auto stops = stops_cells(minute, dusk.has_lamps);
        table.rows.push_back(
            {clock_text({minute.unix_s, report.place.when.offset_min}),
             decimal_text(minute.sun_altitude_deg, 1), decimal_text(minute.moon_altitude_deg, 1),
             digits_text(minute.horizontal_lx), stops[0], stops[1], stops[2],
             digits_text(minute.wanted_shutter_s), digits_text(minute.star_trail_px),
             events_text(events, minute.unix_s)});
    }
    return table;
}

}  // namespace

std::string dusk_text(const DuskReport& report, bool minutes) {
    std::string text;
    if (!report.title.empty()) text = report.title + "\n";
    text += fmt::format("{}, take {}\n", settings_text(report.dusk.settings), report.dusk.take);
    for (const std::string& sentence : dusk_sentences(report)) text += sentence + "\n";
    text.append("\n").append(meaning_text(report));
    text.append("\n").append(to_text(take_table(report)));
    if (minutes) text.append("\n").append(to_text(minute_table(report)));
    return text;
}

}  // namespace lampflight
