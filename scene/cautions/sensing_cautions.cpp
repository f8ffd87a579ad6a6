#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <limits>
#include <string>

#include <fmt/format.h>

namespace lampflight {
namespace {

// Beyond it a drone with its lamps off is hardly made out. Common practice, no source.
constexpr double out_of_sight_m = 500.0;

/// Whether a lamp that flies shines within 60 degrees of plumb at some time.
bool shines_down(const LitLamp& lit, const AimTargets& targets) {
    constexpr int steps = 32;
    for (int i = 0; i <= steps; ++i) {
        const double time_s =
            glm::mix(lit.lit.front().from_s, lit.lit.back().to_s, 1.0 * i / steps);
        if (aim_direction(lit, targets, time_s).z < -0.5) return true;
    }
    return false;
}

/// Where a lamp is in the way of what a drone lands by; empty for nowhere.
std::string under_drone(const FlownTake& seen, const LitLamp& lit) {
    if (lit.lamp->hang_m > 0.0) return "hangs below";
    if (lit.lamp->offset_m.z < 0.0) return "sits under";
    return shines_down(lit, aim_targets(seen.shoot, lit)) ? "shines down from" : "";
}

void add_landing(Findings& list, const FlownTake& seen, const LitLamp& lit) {
    if (!lit.flies() || lit.lamp->own_light) return;
    const std::string where = under_drone(seen, lit);
    if (where.empty()) return;
    list.push_back(
        {"sensing",
         CautionLevel::care,
         fmt::format("Lamp \"{}\" {} the drone and may blind the sensing that lands it: try a "
                     "landing by day with the lamps lit, and know how to force one.",
                     lit.lamp->name, where),
         {"landing", "lamp", lit.lamp->name, seen.take.name}});
}

void add_out_of_sight(Findings& list, const FlownTake& seen, const FlownFlight& flown) {
    double farthest_m = 0.0;
    for (const Vec3& drone_m : places_m(flown))
        farthest_m = std::max(farthest_m, glm::distance(drone_m, seen.shoot.camera.position_m));
    if (farthest_m <= out_of_sight_m) return;
    list.push_back(
        {"sight", CautionLevel::care,
         fmt::format("The {} goes as far as {:.0f} m from the camera: at night one loses "
                     "sight of a drone, and of which way it points, sooner. Stand "
                     "nearer, and look up what rules ask.",
                     seen.name_of(flown), farthest_m),
         seen.alike(flown, "far", farthest_m)});
}

}  // namespace

Findings sensing_cautions(const FlownTake& seen) {
    Findings list;
    for (const LitLamp& lit : seen.lit) add_landing(list, seen, lit);
    for (const FlownFlight& flown : seen.courses) add_out_of_sight(list, seen, flown);
    return list;
}

}  // namespace lampflight
