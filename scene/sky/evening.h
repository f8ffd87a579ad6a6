// Twilight, sunset and moonrise: when the sun passes the altitudes that matter to an evening and
// its morning, and when the moon comes.
#pragma once

#include <optional>
#include <vector>

#include "scene/sky/place.h"

namespace lampflight {

/// Altitude of the sun's centre at sunset and sunrise by convention: 16' of radius, 34' of
/// refraction (Astronomical Almanac).
constexpr double sunset_altitude_deg = -0.8333;

enum class Passing { sinks_through, climbs_through, stays_above, stays_below };

/// What the sun does at an altitude (airless, of its centre) between noon and midnight, or between
/// midnight and noon.
struct SunPassage {
    double altitude_deg;
    Passing passing;
    double unix_s;  ///< when it passes; midnight where it stays above, noon where it stays below
};

struct Evening {
    double noon_s;      ///< when the sun is highest
    double midnight_s;  ///< when it is lowest
    double next_noon_s;
    std::vector<SunPassage> sun;       ///< sunset, then -4, -6, -8, -12 and -18 deg
    std::vector<SunPassage> morning;   ///< -18 deg up to sunrise
    std::optional<double> moonrise_s;  ///< the first within 24 hours of noon; by its upper edge
    std::optional<double> moonset_s;
};

/// The evening of a place's moment, in seconds of UTC since 1970-01-01, to a second or so: the
/// night that the moment falls in, or the coming one while the sun is up. A moon that comes up for
/// less than 10 minutes may be missed.
Evening evening_of(const Place& place, double unix_s);

}  // namespace lampflight
