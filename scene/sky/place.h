// Geodetic place and civil time: what sets the sun, the moon and the stars.
#pragma once

#include <optional>
#include <string>

namespace lampflight {

/// An instant with the offset of the clock it was read from.
struct Moment {
    double unix_s = 0.0;  ///< seconds of UTC since 1970-01-01, leap seconds left out (POSIX)
    int offset_min = 0;   ///< of the local clock, east of Greenwich positive

    bool operator==(const Moment&) const = default;
};

/// Above ground; the ceiling of the European and of several other rules (Regulation (EU) 2019/947,
/// UAS.OPEN.010; 400 ft in 14 CFR 107.51).
constexpr double usual_ceiling_m = 120.0;

struct Place {
    double latitude_deg = 0.0;   ///< geodetic, WGS 84, north positive
    double longitude_deg = 0.0;  ///< east positive
    double elevation_m = 0.0;    ///< above sea level
    Moment when;                 ///< the shutter opens on the first take
    std::optional<double> declination_deg{};  ///< magnetic north lies east of true north by so much
    double ceiling_m = usual_ceiling_m;     ///< the most above ground that rules let a drone fly
};

/// Sound dates of a place: the orbit of the earth is known well between them.
constexpr int first_year = 1900;
constexpr int last_year = 2100;

/// Seconds since 1970-01-01 of midnight on a date of the Gregorian calendar.
double midnight_unix_s(int year, int month, int day);

/// The year that the local clock shows.
int year_of(const Moment& moment);

/// As scene files write it: 2026-11-24T17:35:00+01:00 (RFC 3339), to the second.
std::string date_time_text(const Moment& moment);

/// What the local clock shows: 17:35:00, to the nearest second.
std::string clock_text(const Moment& moment);

/// The same to the nearest minute: 17:35.
std::string minute_text(const Moment& moment);

/// A clock's offset as a date-time ends with it: +01:00.
std::string offset_text(int offset_min);

}  // namespace lampflight
