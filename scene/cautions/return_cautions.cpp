#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include <fmt/format.h>

#include "scene/shoot/straying_of.h"
#include "scene/subjects/box.h"

namespace lampflight {
namespace {

// How far a way home keeps off what stands there, beside it and above. Common practice, no source.
constexpr double keeps_off_m = 5.0;

/// Whether the straight way home passes beside or over a box, seen from above.
bool leads_past(const Vec2& from_m, const Vec2& home_m, const Box& box, double within_m) {
    const int steps = std::max(1, static_cast<int>(glm::distance(from_m, home_m)));
    for (int i = 0; i <= steps; ++i) {
        const Vec2 at_m = glm::mix(from_m, home_m, 1.0 * i / steps);
        const Vec2 nearest_m = glm::clamp(at_m, Vec2(box.low_m), Vec2(box.high_m));
        if (glm::distance(at_m, nearest_m) < within_m) return true;
    }
    return false;
}

/// A subject that a drone may meet on its way home.
struct InTheWay {
    const Subject* subject;
    double top_m;
};

/// The highest subject that a drone, which climbs to its return height or stays above it, does not
/// clear from some place of the flight.
std::optional<InTheWay> in_the_way(const FlownTake& seen, const FlownFlight& flown,
                                   const Drone& drone) {
    constexpr int steps = 48;
    const double return_m = drone.home_m.z + *drone.return_height_m;
    const double within_m = keeps_off_m + strays_within_m(seen.shoot, *flown.flight);
    std::optional<InTheWay> highest;
    for (const std::size_t place : seen.present) {
        const Box box = box_of(seen.shoot.meshes[place]);
        const double top_m = box.high_m.z;
        if (return_m >= top_m + keeps_off_m || (highest && highest->top_m >= top_m)) continue;
        for (int i = 0; i <= steps; ++i) {
            const Vec3 from_m = flown.path.position_m(flown.time_s(1.0 * i / steps));
            if (from_m.z < top_m + keeps_off_m &&
                leads_past(Vec2(from_m), Vec2(drone.home_m), box, within_m)) {
                highest = InTheWay{&seen.shoot.subjects[place], top_m};
                break;
            }
        }
    }
    return highest;
}

void add_return(Findings& list, const FlownTake& seen, const FlownFlight& flown,
                const Drone& drone) {
    const double return_m = drone.home_m.z + *drone.return_height_m;
    if (const auto met = in_the_way(seen, flown, drone))
        list.push_back({"return", CautionLevel::care,
                        fmt::format("Coming home by itself at {:.0f} m over take-off, the drone of "
                                    "{} passes \"{}\", whose top is {:.1f} m {} that: set "
                                    "return_height_m {:.0f} m or more above it, and above branches "
                                    "and lines.",
                                    *drone.return_height_m, seen.name_of(flown), met->subject->name,
                                    std::abs(return_m - met->top_m),
                                    met->top_m > return_m ? "above" : "below", keeps_off_m),
                        seen.alike(flown, "return " + met->subject->name, met->top_m)});
    const double over_ground_m =
        return_m - ground_height_m(terrain_of(seen.shoot), Vec2(drone.home_m));
    if (over_ground_m > ceiling_m(seen.shoot))
        list.push_back({"return", CautionLevel::danger,
                        fmt::format("Coming home by itself, the drone of {} climbs to {:.0f} m "
                                    "above ground. {}",
                                    seen.name_of(flown), over_ground_m, ceiling_text(seen.shoot)),
                        seen.alike(flown, "high return", over_ground_m)});
}

}  // namespace

Findings return_cautions(const FlownTake& seen) {
    Findings list;
    for (const FlownFlight& flown : seen.flights) {
        const Drone* drone = drone_of(seen.shoot, *flown.flight);
        if (drone && drone->return_height_m) add_return(list, seen, flown, *drone);
    }
    return list;
}

}  // namespace lampflight
