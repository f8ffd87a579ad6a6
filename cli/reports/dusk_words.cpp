#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "cli/reports/check_report.h"
#include "cli/reports/dusk_report.h"
#include "cli/reports/quantity_text.h"
#include "scene/sky/celestial.h"

namespace lampflight {
namespace {

/// As JSON has it.
std::string sun_code(const SunPassage& passage) {
    return passage.altitude_deg == sunset_altitude_deg
               ? sun_passage_words(passage)
               : fmt::format("sun {} deg", passage.altitude_deg);
}

bool passes(const SunPassage& passage) {
    return passage.passing == Passing::sinks_through || passage.passing == Passing::climbs_through;
}

/// How the sun keeps from setting, rising or going right down, if it does.
std::vector<std::string> sun_sentences(const DuskReport& report) {
    const Evening& evening = report.dusk.span.evening;
    const auto at = [&](double unix_s) {
        return fmt::format("{} deg at {}",
                           decimal_text(sun_seen(report.place, unix_s).altitude_deg, 1),
                           minute_text({unix_s, report.place.when.offset_min}));
    };
    if (evening.sun.front().passing == Passing::stays_above)
        return {"The sun does not set: it is lowest, " + at(evening.midnight_s)};
    std::vector<std::string> sentences;
    if (evening.sun.front().passing == Passing::stays_below)
        sentences.push_back("The sun does not rise: it is highest, " + at(evening.noon_s));
    if (evening.sun.back().passing == Passing::stays_above)
        sentences.push_back("The sun goes no lower than " + at(evening.midnight_s));
    return sentences;
}

std::vector<std::string> window_sentences(const DuskReport& report) {
    const Dusk& dusk = report.dusk;
    const auto clock = [&](double unix_s) {
        return minute_text({unix_s, report.place.when.offset_min});
    };
    const std::string wanted = fmt::format("within half a stop of {}", stops_text(dusk.want_stops));
    std::vector<std::string> sentences;
    for (const DuskWindow& window : dusk.windows)
        sentences.push_back(fmt::format("The sky is {} from {} {}", wanted, clock(window.from_s),
                                        window.to_s ? "to " + clock(*window.to_s) : "on"));
    if (!sentences.empty()) return sentences;
    const DuskMinute& nearest = dusk.nearest;
    const double off_stops = nearest.sky_stops - dusk.want_stops;
    return {fmt::format(
        "The sky is never {}; at its nearest, {}, it is {} stops too {} and would "
        "want {}",
        wanted, clock(nearest.unix_s), decimal_text(std::abs(off_stops), 1),
        off_stops > 0.0 ? "bright" : "dark", about_shutter_text(nearest.wanted_shutter_s))};
}

}  // namespace

std::vector<DuskEvent> events_of(const Dusk& dusk) {
    const Evening& evening = dusk.span.evening;
    std::vector<DuskEvent> events;
    for (const auto* passages : {&evening.sun, &evening.morning})
        for (const SunPassage& passage : *passages)
            if (passes(passage))
                events.push_back({passage.unix_s, DuskEvent::Kind::sun, sun_passage_words(passage),
                                  sun_code(passage)});
    if (evening.moonrise_s)
        events.push_back({*evening.moonrise_s, DuskEvent::Kind::moon, "moonrise", "moonrise"});
    if (evening.moonset_s)
        events.push_back({*evening.moonset_s, DuskEvent::Kind::moon, "moonset", "moonset"});
    for (const DuskTake& take : dusk.takes)
        events.push_back({take.opens.unix_s, DuskEvent::Kind::take, take.name, take.name});
    std::erase_if(events, [&](const DuskEvent& event) {
        return event.unix_s < dusk.span.from_s || event.unix_s > dusk.span.to_s;
    });
    std::stable_sort(events.begin(), events.end(),
                     [](const DuskEvent& a, const DuskEvent& b) { return a.unix_s < b.unix_s; });
    return events;
}

std::vector<std::string> dusk_sentences(const DuskReport& report) {
    std::vector<std::string> sentences = window_sentences(report);
    for (const double unix_s : report.dusk.alike_s)
        sentences.push_back("Sky and lit ground are equally bright at " +
                            minute_text({unix_s, report.place.when.offset_min}));
    for (std::string& sentence : sun_sentences(report)) sentences.push_back(std::move(sentence));
    return sentences;
}

}  // namespace lampflight
