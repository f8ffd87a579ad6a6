// Star catalogue to the naked eye's limit, brightest first: the Extended Hipparcos Compilation
// (Anderson & Francis 2012, VizieR V/137D) to V = 6.0. The build makes scene/sky/bright_stars.csv
// part of the program.
#pragma once

#include <span>

namespace lampflight {

/// B-V where the catalogue has none: the sun's.
constexpr double unknown_b_v = 0.65;

struct BrightStar {
    double ra_deg;   ///< ICRS at J2000; proper motion since is left out
    double dec_deg;  ///< likewise
    double v_mag;    ///< outside the air
    double b_v;      ///< magnitudes
};

std::span<const BrightStar> bright_stars();

}  // namespace lampflight
