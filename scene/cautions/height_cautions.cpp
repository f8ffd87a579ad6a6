#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <limits>
#include <string>

#include <fmt/format.h>

#include "scene/shoot/straying_of.h"

namespace lampflight {
namespace {

// Limits of caution. Common practice, no source.
constexpr double low_height_m = 2.0;
constexpr double near_subject_m = 15.0;

/// How far a flight strays up or down: half as far as to the sides.
double strays_up_m(const FlownTake& seen, const FlownFlight& flown) {
    return 0.5 * strays_within_m(seen.shoot, *flown.flight);
}

/// Heights over the ground below, its relief included, stones not; the lowest of what hangs.
struct Heights {
    double lowest_m = std::numeric_limits<double>::infinity();
    double highest_m = -std::numeric_limits<double>::infinity();
    double lowest_near_subject_m = std::numeric_limits<double>::infinity();
};

Heights heights_of(const FlownTake& seen, const Terrain& terrain, const FlownFlight& flown) {
    Heights heights;
    const double hanging_m = hangs_m(seen.shoot, *flown.flight);
    for (const Vec3& drone_m : places_m(flown)) {
        const double over_ground_m = drone_m.z - ground_height_m(terrain, Vec2(drone_m));
        const double height_m = over_ground_m - hanging_m;
        heights.lowest_m = std::min(heights.lowest_m, height_m);
        heights.highest_m = std::max(heights.highest_m, over_ground_m);
        if (height_m >= std::min(heights.lowest_near_subject_m, low_height_m)) continue;
        for (const std::size_t place : seen.present)
            if (glm::distance(Vec2(drone_m), Vec2(seen.shoot.subjects[place].position_m)) <
                near_subject_m)
                heights.lowest_near_subject_m = height_m;
    }
    return heights;
}

void add_height(Findings& list, const FlownTake& seen, const FlownFlight& flown,
                const Heights& heights) {
    const double strays_m = strays_up_m(seen, flown);
    if (heights.highest_m + strays_m > ceiling_m(seen.shoot))
        list.push_back(
            {"height", CautionLevel::danger,
             fmt::format("The {} climbs to {:.0f} m{}. {}", seen.name_of(flown), heights.highest_m,
                         strays_m > 0.0 ? fmt::format(", {:.0f} m as it may stray",
                                                      heights.highest_m + strays_m)
                                        : "",
                         ceiling_text(seen.shoot)),
             seen.alike(flown, "high", heights.highest_m + strays_m)});
    if (heights.lowest_m > 0.0 && heights.lowest_m <= strays_m)
        list.push_back({"height", CautionLevel::danger,
                        fmt::format("The {} comes down to {:.1f} m and may stray by {:.1f} m up "
                                    "and down: into the ground.",
                                    seen.name_of(flown), heights.lowest_m, strays_m),
                        seen.alike(flown, "strays into the ground", -heights.lowest_m)});
    else if (heights.lowest_m <= 0.0)
        list.push_back({"height", CautionLevel::danger,
                        fmt::format("The {} goes into the ground: at its lowest it is {:.1f} m "
                                    "below it.",
                                    seen.name_of(flown), -heights.lowest_m),
                        seen.alike(flown, "into the ground", -heights.lowest_m)});
    else if (heights.lowest_near_subject_m < low_height_m)
        list.push_back({"height", CautionLevel::care,
                        fmt::format("The {} comes down to {:.1f} m near a subject, at the height "
                                    "of heads and branches.",
                                    seen.name_of(flown), heights.lowest_near_subject_m),
                        seen.alike(flown, "low", -heights.lowest_near_subject_m)});
}

}  // namespace

double ceiling_m(const Shoot& shoot) {
    return shoot.place ? shoot.place->ceiling_m : usual_ceiling_m;
}

std::string ceiling_text(const Shoot& shoot) {
    if (ceiling_m(shoot) == usual_ceiling_m)
        return fmt::format(
            "Many places set the ceiling at about {:.0f} m above ground: check the "
            "rules where you fly.",
            usual_ceiling_m);
    return fmt::format(
        "The ceiling stated for this place is {:.0f} m above ground: check it with "
        "the rules there.",
        ceiling_m(shoot));
}

Findings height_cautions(const FlownTake& seen) {
    Findings list;
    const Terrain terrain = terrain_of(seen.shoot);
    for (const FlownFlight& flown : seen.courses)
        add_height(list, seen, flown, heights_of(seen, terrain, flown));
    return list;
}

}  // namespace lampflight
