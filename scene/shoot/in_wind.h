// A flight against the wind: its speed through the air, how it leans, and how far it heads off its
// course.
#pragma once

#include <optional>

#include "scene/shoot/flown_flight.h"

namespace lampflight {

struct InWind {
    double air_m_s;   ///< the highest through the air, in the steady wind
    double lean_deg;  ///< the most from upright, in the steady wind
    /// Crab: the largest angle, seen from above, between its course and its motion through the air,
    /// where it goes faster over ground than the wind: a slower one heads into the wind, whatever its
    /// course. Nothing for a flight that is nowhere so fast.
    std::optional<double> crab_deg;
    /// The highest and the most as the wind blows at its gusts' speed all along; as above without.
    double gust_air_m_s;
    double gust_lean_deg;
};

/// Of the whole flight as planned. Nothing where there is neither wind nor gust.
std::optional<InWind> in_wind(const Shoot& shoot, const FlownFlight& flown);

}  // namespace lampflight
