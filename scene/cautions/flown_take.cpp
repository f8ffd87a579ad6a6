#include "scene/cautions/flown_take.h"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

namespace lampflight {

FlownTake::FlownTake(const PlacedShoot& whole, const Take& one)
    : shoot(whole),
      take(one),
      settings(settings_of(whole, one)),
      present(present_subjects(whole, one)),
      flights(flown_flights(whole, one)),
      courses(flights),
      lit(lit_lamps(whole, one)) {
    for (FlownFlight& way : flown_ways(whole, one, flights)) courses.push_back(std::move(way));
}

std::string FlownTake::name_of(const FlownFlight& flown) const {
    if (flown.from)
        return fmt::format("way from flight \"{}\" to flight \"{}\" in take \"{}\"",
                           flown.from->name, flown.flight->name, take.name);
    return fmt::format("flight \"{}\" in take \"{}\"", flown.flight->name, take.name);
}

Alike FlownTake::alike(const FlownFlight& flown, std::string kind, double worse) const {
    return {std::move(kind), "flight", flown.flight->name, take.name, worse};
}

std::vector<Vec3> places_m(const FlownFlight& flown) {
    const double way_m = flown.path.flown_m(flown.until_s());
    const int steps = static_cast<int>(std::clamp(way_m, 360.0, 8192.0));
    std::vector<Vec3> places;
    for (int i = 0; i <= steps; ++i)
        places.push_back(flown.path.position_m(flown.time_s(1.0 * i / steps)));
    return places;
}

}  // namespace lampflight
