#include "scene/cautions/caution_kinds.h"

#include <algorithm>

#include <fmt/format.h>

#include "scene/subjects/people.h"

namespace lampflight {
namespace {

constexpr double dazzling_lx = 100.0;  // common practice, no source

// What a dipped headlamp may send where drivers look: UN Regulation No. 98, zone III, from memory.
constexpr double glaring_cd = 625.0;

/// A moment of a lamp's burning, in shares from its first light to its last: nobody times a look
/// by a beacon's dark moments.
double burning_s(const LitLamp& lit, double share) {
    return glm::mix(lit.lit.front().from_s, lit.lit.back().to_s, share);
}

struct Glare {
    double illuminance_lx = 0.0;
    double distance_m = 0.0;
};

/// Most light that a lamp sends to a pair of eyes turned to it, by the inverse square law.
Glare worst_glare(const LitLamp& lit, const AimTargets& targets, const Vec3& eyes_m) {
    const Beam beam(*lit.lamp);
    Glare worst;
    for (int i = 0; i <= 360; ++i) {
        const double time_s = burning_s(lit, i / 360.0);
        const Vec3 to_eyes = eyes_m - lit.position_m(time_s);
        const double apart_m = std::max(glm::length(to_eyes), 0.05);
        const double cos_to_aim = glm::dot(aim_direction(lit, targets, time_s), to_eyes) / apart_m;
        const double illuminance_lx =
            lit.flux_scale * beam.intensity_cd(cos_to_aim) / (apart_m * apart_m);
        if (illuminance_lx > worst.illuminance_lx) worst = {illuminance_lx, apart_m};
    }
    return worst;
}

void add_eyes(Findings& list, const FlownTake& seen, const LitLamp& lit,
              const AimTargets& targets) {
    for (const std::size_t place : seen.present) {
        if (!is_person(seen.shoot.subjects[place])) continue;
        const Glare glare = worst_glare(lit, targets, eyes_of(seen.shoot.meshes[place]));
        if (glare.illuminance_lx <= dazzling_lx) continue;
        list.push_back({"eyes",
                        CautionLevel::danger,
                        fmt::format("In take \"{}\" lamp \"{}\" shines {:.0f} lx into the eyes "
                                    "of \"{}\" from {:.1f} m. Look away, dim it or move it off.",
                                    seen.take.name, lit.lamp->name, glare.illuminance_lx,
                                    seen.shoot.subjects[place].name, glare.distance_m),
                        {"dazzles " + seen.shoot.subjects[place].name, "lamp", lit.lamp->name,
                         seen.take.name, glare.illuminance_lx}});
    }
}

/// Most light that leaves a lamp level or upwards while it burns.
double most_level_cd(const LitLamp& lit, const AimTargets& targets) {
    const Beam beam(*lit.lamp);
    double most_cd = 0.0;
    for (int i = 0; i <= 64; ++i) {
        const Vec3 aim = aim_direction(lit, targets, burning_s(lit, i / 64.0));
        const double cos_to_aim = aim.z >= 0.0 ? 1.0 : glm::length(Vec2(aim));
        most_cd = std::max(most_cd, lit.flux_scale * beam.intensity_cd(cos_to_aim));
    }
    return most_cd;
}

/// Drivers, neighbours and pilots, of whom the scene knows nothing.
void add_far_glare(Findings& list, const FlownTake& seen, const LitLamp& lit,
                   const AimTargets& targets) {
    if (lit.lamp->own_light) return;
    const double cd = most_level_cd(lit, targets);
    if (cd <= glaring_cd) return;
    list.push_back({"glare",
                    CautionLevel::care,
                    fmt::format("Lamp \"{}\" sends {:.0f} cd level or upwards in take \"{}\"; a "
                                "dipped headlamp keeps to some {:.0f} there. Aim it down, dim it, "
                                "or see that no driver, neighbour or pilot is in its beam.",
                                lit.lamp->name, cd, seen.take.name, glaring_cd),
                    {"level glare", "lamp", lit.lamp->name, seen.take.name, cd}});
}

}  // namespace

Findings glare_cautions(const FlownTake& seen) {
    Findings list;
    for (const LitLamp& lit : seen.lit) {
        const AimTargets targets = aim_targets(seen.shoot, lit);
        add_eyes(list, seen, lit, targets);
        add_far_glare(list, seen, lit, targets);
    }
    return list;
}

}  // namespace lampflight
