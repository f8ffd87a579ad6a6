#include "scene/cautions/flown_take.h"

#include <utility>

#include <fmt/format.h>

namespace lampflight {

FlownTake::FlownTake(const PlacedShoot& whole, const Take& one)
    : shoot(whole),
      take(one),
      settings(settings_of(whole, one)),
      present(present_subjects(whole, one)),
      flights(flown_flights(whole, one)),
      lit(lit_lamps(whole, one)) {}

std::string FlownTake::name_of(const FlownFlight& flown) const {
    return fmt::format("flight \"{}\" in take \"{}\"", flown.flight->name, take.name);
}

Alike FlownTake::alike(const FlownFlight& flown, std::string kind, double worse) const {
    return {std::move(kind), "flight", flown.flight->name, take.name, worse};
}

std::vector<Vec3> places_m(const FlownFlight& flown) {
    constexpr int steps = 360;
    std::vector<Vec3> places;
    for (int i = 0; i <= steps; ++i)
        places.push_back(flown.path.position_m(flown.flown_s * i / steps));
    return places;
}

}  // namespace lampflight
