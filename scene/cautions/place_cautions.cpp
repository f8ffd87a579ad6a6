#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "scene/cautions/film_estimate.h"
#include "scene/shoot/take_moment.h"
#include "scene/sky/celestial.h"
#include "scene/sky/evening.h"

namespace lampflight {
namespace {

// Clocks are set by borders and summer time: so far they stray from the sun, and hardly further.
// Common practice, no source.
constexpr double clock_strays_h = 3.0;
constexpr double deg_an_hour = 15.0;

/// Hours by which the clock is ahead of the sun's at that longitude, -12 to 12.
double clock_ahead_h(const Place& place) {
    return std::remainder(place.when.offset_min / 60.0 - place.longitude_deg / deg_an_hour, 24.0);
}

/// The same local clock time at the offset of the longitude.
Place with_fitting_offset(Place place) {
    const int fitting_min = 60 * static_cast<int>(std::round(place.longitude_deg / deg_an_hour));
    place.when.unix_s += 60.0 * (place.when.offset_min - fitting_min);
    place.when.offset_min = fitting_min;
    return place;
}

/// A place as it may have been meant.
struct Meant {
    std::string words;
    Place place;
};

std::vector<Meant> other_readings(const Place& place) {
    std::vector<Meant> readings;
    if (std::abs(clock_ahead_h(place)) > clock_strays_h) {
        const Place fitting = with_fitting_offset(place);
        readings.push_back(
            {fmt::format("with the clock at {}", offset_text(fitting.when.offset_min)), fitting});
    }
    const auto read = [&](std::string words, double latitude_deg, double longitude_deg) {
        Place other = place;
        other.latitude_deg = latitude_deg;
        other.longitude_deg = longitude_deg;
        readings.push_back({std::move(words), other});
    };
    if (std::abs(place.longitude_deg) <= 90.0)
        read("with latitude and longitude exchanged", place.longitude_deg, place.latitude_deg);
    read(fmt::format("with longitude {:g}", -place.longitude_deg), place.latitude_deg,
         -place.longitude_deg);
    read(fmt::format("with latitude {:g}", -place.latitude_deg), -place.latitude_deg,
         place.longitude_deg);
    return readings;
}

/// The first take that opens by day at a night's settings: its sky is well over clipping.
const Take* burnt_by_day(const Shoot& shoot) {
    constexpr double well_over_stops = 1.0;
    const auto found = std::ranges::find_if(shoot.takes, [&](const Take& take) {
        return opens_by_day(shoot, take) && sky_stops_over(shoot, take) > well_over_stops;
    });
    return found == shoot.takes.end() ? nullptr : &*found;
}

void add_mistaken(Findings& list, const Shoot& shoot) {
    const Take* take = burnt_by_day(shoot);
    if (!take) return;
    std::string night;
    for (const Meant& meant : other_readings(*shoot.place)) {
        const double altitude_deg =
            sun_seen(meant.place, meant.place.when.unix_s + take->after_s).altitude_deg;
        if (altitude_deg >= sunset_altitude_deg) continue;
        night += night.empty() ? fmt::format("{} the sun would be {:.0f} deg below the horizon",
                                             meant.words, -altitude_deg)
                               : fmt::format(", {} it would be {:.0f} deg below it", meant.words,
                                             -altitude_deg);
    }
    if (night.empty()) return;
    list.push_back({"place", CautionLevel::care,
                    fmt::format("The settings of take \"{}\" are a night's, but the sun is up. "
                                "Look at [place] again: {}.",
                                take->name, night)});
}

void add_strange_clock(Findings& list, const Place& place) {
    const double ahead_h = clock_ahead_h(place);
    if (std::abs(ahead_h) <= clock_strays_h) return;
    list.push_back(
        {"place", CautionLevel::note,
         fmt::format("The clock of when, {}, is {:.1f} h {} the sun at longitude {:g}: look "
                     "at both again. Clocks there stand near {}.",
                     offset_text(place.when.offset_min), std::abs(ahead_h),
                     ahead_h > 0.0 ? "ahead of" : "behind", place.longitude_deg,
                     offset_text(with_fitting_offset(place).when.offset_min))});
}

}  // namespace

Findings place_cautions(const Shoot& shoot) {
    Findings list;
    if (!shoot.place) return list;
    add_mistaken(list, shoot);
    add_strange_clock(list, *shoot.place);
    return list;
}

}  // namespace lampflight
