#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include <fmt/format.h>

#include "scene/cautions/film_estimate.h"
#include "scene/shoot/take_moment.h"
#include "scene/sky/evening.h"

namespace lampflight {
namespace {

/// When the sun comes to -6 deg, on the clock of the place; it may not.
std::string civil_dusk_text(const Evening& evening, const Moment& when) {
    const auto dusk = std::ranges::find(evening.sun, -6.0, &SunPassage::altitude_deg);
    if (dusk == evening.sun.end() || dusk->passing != Passing::sinks_through)
        return "Civil dusk does not end there that night.";
    return fmt::format("The end of civil dusk is at {}.",
                       minute_text({dusk->unix_s, when.offset_min}));
}

/// Whether it is the evening of the day in which a moment falls.
bool is_of(const Evening& evening, double unix_s) {
    constexpr double day_s = 86400.0;
    return unix_s <= evening.midnight_s && unix_s > evening.midnight_s - day_s;
}

/// "about 9 stops over clipping".
std::string over_clipping_text(double stops) {
    const double whole = std::round(std::abs(stops));
    if (whole == 0.0) return "clipping";
    return fmt::format("about {:.0f} stop{} {} clipping", whole, whole == 1.0 ? "" : "s",
                       stops < 0.0 ? "below" : "over");
}

}  // namespace

Findings daylight_cautions(const Shoot& shoot) {
    Findings list;
    std::optional<Evening> evening;  // dear to find, and mostly the same for all takes
    for (const Take& take : shoot.takes) {
        if (!shoot.place || !opens_by_day(shoot, take)) continue;
        const Moment when = moment_of(shoot, take);
        if (!evening || !is_of(*evening, when.unix_s))
            evening = evening_of(*shoot.place, when.unix_s);
        const double altitude_deg = night_sky(shoot, when.unix_s).sun.altitude_deg;
        const double over_stops = sky_stops_over(shoot, take);
        list.push_back(
            {"daylight",
             CautionLevel::care,
             fmt::format("The sun stands {:.0f} deg high as take \"{}\" opens: the sky "
                         "comes to {}. {}",
                         std::max(0.0, altitude_deg), take.name, over_clipping_text(over_stops),
                         civil_dusk_text(*evening, when)),
             {"sun up", "take", take.name, take.name, over_stops}});
    }
    return list;
}

}  // namespace lampflight
