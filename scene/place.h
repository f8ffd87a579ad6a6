// Where and when: what sets the sun, the moon and the stars.
#pragma once

namespace lampflight {

/// An instant with the offset of the clock it was read from.
struct Moment {
    double unix_s = 0.0;  ///< seconds of UTC since 1970-01-01, leap seconds left out (POSIX)
    int offset_min = 0;   ///< of the local clock, east of Greenwich positive
};

struct Place {
    double latitude_deg = 0.0;   ///< geodetic, WGS 84, north positive
    double longitude_deg = 0.0;  ///< east positive
    double elevation_m = 0.0;    ///< above sea level
    Moment when;                 ///< the shutter opens on the first take
};

}  // namespace lampflight
