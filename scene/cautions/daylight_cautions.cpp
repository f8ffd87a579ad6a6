#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "scene/cautions/film_estimate.h"
#include "scene/shoot/take_moment.h"
#include "scene/sky/evening.h"

namespace lampflight {
namespace {

/// When the sun comes to -6 deg, on the clock of the place; it may not.
std::string civil_dusk_text(const Place& place, const Moment& when) {
    const Evening evening = evening_of(place, when.unix_s);
    const auto dusk = std::ranges::find(evening.sun, -6.0, &SunPassage::altitude_deg);
    if (dusk == evening.sun.end() || dusk->passing != Passing::sinks_through)
        return "Civil dusk does not end there that night.";
    const Moment minute{60.0 * std::round(dusk->unix_s / 60.0), when.offset_min};
    return fmt::format("The end of civil dusk is at {}.", clock_text(minute).substr(0, 5));
}

}  // namespace

Findings daylight_cautions(const FlownTake& seen) {
    const Shoot& shoot = seen.shoot;
    if (!shoot.place || !opens_by_day(shoot, seen.take)) return {};
    const Moment when = moment_of(shoot, seen.take);
    const double altitude_deg = night_sky(shoot, when.unix_s).sun.altitude_deg;
    const double over_stops = sky_stops_over(shoot, seen.take);
    return {{"daylight",
             CautionLevel::care,
             fmt::format("The sun stands {:.0f} deg high as take \"{}\" opens: the sky comes to "
                         "about {:.0f} stops {} clipping. {}",
                         std::max(0.0, altitude_deg), seen.take.name, std::abs(over_stops),
                         over_stops < 0.0 ? "below" : "over", civil_dusk_text(*shoot.place, when)),
             {"sun up", "take", seen.take.name, seen.take.name, over_stops}}};
}

}  // namespace lampflight
