#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <limits>

#include <fmt/format.h>

#include "scene/cautions/clearance.h"

namespace lampflight {
namespace {

// Limits of caution. Common practice, no source; they ask for a second look and prove nothing.
constexpr double person_clearance_m = 5.0;
constexpr double subject_clearance_m = 2.0;
constexpr double drones_apart_m = 5.0;
constexpr double dazzling_lx = 100.0;

/// The built-in person, or a mesh with a word for one in its name.
bool is_person(const Subject& subject) {
    if (subject.model) return *subject.model == Model::person;
    std::string words = " ";
    for (const char letter : subject.name) {
        const auto code = static_cast<unsigned char>(letter);
        words += std::isalpha(code) ? static_cast<char>(std::tolower(code)) : ' ';
    }
    words += ' ';
    constexpr std::array people{" person ", " people ", " walker ", " hiker ", " climber ",
                                " dancer ", " rider ",  " couple ", " man ",   " woman ",
                                " child ",  " boy ",    " girl ",   " model "};
    return std::any_of(people.begin(), people.end(),
                       [&](const char* word) { return words.find(word) != std::string::npos; });
}

Vec3 eyes_of(const Mesh& person) {
    const Box box = box_of(person);
    const Vec3 middle = box.middle_m();
    // Eyes stand at 0.93 of a person's height.
    return {middle.x, middle.y, box.low_m.z + 0.93 * (box.high_m.z - box.low_m.z)};
}

void add_people(Findings& list, const FlownTake& seen, const FlownFlight& flown) {
    for (const std::size_t place : seen.present) {
        const Subject& subject = seen.shoot.subjects[place];
        const bool person = is_person(subject);
        const double limit_m = person ? person_clearance_m : subject_clearance_m;
        const double apart_m =
            clearance_m(flown.path, {flown.path.begins_s(), flown.until_s()},
                        seen.shoot.meshes[place], limit_m, hangs_m(seen.shoot, *flown.flight));
        if (apart_m >= limit_m) continue;
        const std::string what = fmt::format("The {} passes within {:.1f} m of \"{}\". ",
                                             seen.name_of(flown), apart_m, subject.name);
        const Alike alike = seen.alike(flown, "near " + subject.name, -apart_m);
        if (person)
            list.push_back({"people", CautionLevel::danger,
                            what + fmt::format("Keep {:.0f} m or more from a person: a gust, a "
                                               "fallen lamp or a failed motor reaches that far.",
                                               person_clearance_m),
                            alike});
        else
            list.push_back({"subject", CautionLevel::care,
                            what + "Satellite positioning alone can be out by more than that.",
                            alike});
    }
}

/// Whoever stands at the camera counts as well.
void add_photographer(Findings& list, const FlownTake& seen, const FlownFlight& flown) {
    const Vec3 head_m = seen.shoot.camera.position_m;
    const Box body{head_m - Vec3(0.4, 0.4, 1.6), head_m + Vec3(0.4, 0.4, 0.4)};
    double apart_m = std::numeric_limits<double>::infinity();
    for (const Vec3& drone_m : places_m(flown))
        apart_m = std::min(apart_m, distance_m(drone_m, body));
    if (apart_m >= person_clearance_m) return;
    list.push_back({"people", CautionLevel::danger,
                    fmt::format("The {} passes within {:.1f} m of the camera and whoever stands "
                                "beside it.",
                                seen.name_of(flown), apart_m),
                    seen.alike(flown, "near the camera", -apart_m)});
}

/// A person under the flight, within the reach of something that falls off.
void add_overhead(Findings& list, const FlownTake& seen, const FlownFlight& flown) {
    constexpr double falls_within_m = 2.0;
    for (const std::size_t place : seen.present) {
        if (!is_person(seen.shoot.subjects[place])) continue;
        const Box body = box_of(seen.shoot.meshes[place]);
        for (const Vec3& drone_m : places_m(flown)) {
            const Vec3 at_head_m{Vec2(drone_m), body.high_m.z};
            if (drone_m.z < body.high_m.z || distance_m(at_head_m, body) >= falls_within_m)
                continue;
            list.push_back({"people", CautionLevel::danger,
                            fmt::format("The {} passes over \"{}\". Nothing should fly above a "
                                        "person: widen or move the figure.",
                                        seen.name_of(flown), seen.shoot.subjects[place].name),
                            seen.alike(flown, "over " + seen.shoot.subjects[place].name)});
            break;
        }
    }
}

void add_neighbours(Findings& list, const FlownTake& seen) {
    const std::vector<FlownFlight>& flown = seen.courses;
    for (std::size_t i = 0; i < flown.size(); ++i)
        for (std::size_t j = i + 1; j < flown.size(); ++j) {
            const TimeWindow both{std::max(flown[i].path.begins_s(), flown[j].path.begins_s()),
                                  std::min(flown[i].until_s(), flown[j].until_s())};
            if (!(both.from_s < both.to_s)) continue;  // one drone's come one after another
            const double apart_m = separation_m(flown[i].path, flown[j].path, both);
            if (apart_m >= drones_apart_m) continue;
            list.push_back(
                {"drones",
                 CautionLevel::danger,
                 fmt::format("In take \"{}\" the drones of \"{}\" and \"{}\" come within "
                             "{:.1f} m of each other.",
                             seen.take.name, flown[i].flight->name, flown[j].flight->name, apart_m),
                 {"near each other", "pair",
                  fmt::format("{} and {}", flown[i].flight->name, flown[j].flight->name),
                  seen.take.name, -apart_m}});
        }
}

struct Glare {
    double illuminance_lx = 0.0;
    double distance_m = 0.0;
};

/// Most light that a lamp sends to a pair of eyes turned to it, by the inverse square law, from its
/// first light to its last: nobody times a look by a beacon's dark moments.
Glare worst_glare(const LitLamp& lit, const AimTargets& targets, const Vec3& eyes_m) {
    const Beam beam(*lit.lamp);
    Glare worst;
    for (int i = 0; i <= 360; ++i) {
        const double time_s = glm::mix(lit.lit.front().from_s, lit.lit.back().to_s, i / 360.0);
        const Vec3 to_eyes = eyes_m - lit.position_m(time_s);
        const double apart_m = std::max(glm::length(to_eyes), 0.05);
        const double cos_to_aim = glm::dot(aim_direction(lit, targets, time_s), to_eyes) / apart_m;
        const double illuminance_lx =
            lit.flux_scale * beam.intensity_cd(cos_to_aim) / (apart_m * apart_m);
        if (illuminance_lx > worst.illuminance_lx) worst = {illuminance_lx, apart_m};
    }
    return worst;
}

void add_glare(Findings& list, const FlownTake& seen) {
    for (const LitLamp& lit : seen.lit)
        for (const std::size_t place : seen.present) {
            if (!is_person(seen.shoot.subjects[place])) continue;
            const Glare glare = worst_glare(lit, aim_targets(seen.shoot, lit),
                                            eyes_of(seen.shoot.meshes[place]));
            if (glare.illuminance_lx <= dazzling_lx) continue;
            list.push_back(
                {"eyes",
                 CautionLevel::danger,
                 fmt::format("In take \"{}\" lamp \"{}\" shines {:.0f} lx into the eyes "
                             "of \"{}\" from {:.1f} m. Look away, dim it or move it off.",
                             seen.take.name, lit.lamp->name, glare.illuminance_lx,
                             seen.shoot.subjects[place].name, glare.distance_m),
                 {"dazzles " + seen.shoot.subjects[place].name, "lamp", lit.lamp->name,
                  seen.take.name, glare.illuminance_lx}});
        }
}

}  // namespace

Findings safety_cautions(const FlownTake& seen) {
    Findings list;
    for (const FlownFlight& flown : seen.courses) {
        add_people(list, seen, flown);
        add_photographer(list, seen, flown);
        add_overhead(list, seen, flown);
    }
    add_neighbours(list, seen);
    add_glare(list, seen);
    return list;
}

}  // namespace lampflight
