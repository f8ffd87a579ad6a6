#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <limits>

#include <fmt/format.h>

#include "scene/cautions/clearance.h"
#include "scene/cautions/passage.h"
#include "scene/subjects/people.h"
#include "scene/shoot/straying_of.h"

namespace lampflight {
namespace {

// Limits of caution. Common practice, no source; they ask for a second look and prove nothing.
constexpr double person_clearance_m = 5.0;
constexpr double falls_within_m = 2.0;

// Level distance that Regulation (EU) 2019/947, UAS.OPEN.030, asks from people who are not
// involved; others ask more. From memory.
constexpr double others_clearance_m = 30.0;

/// A flight as people see it come.
struct ComingFlight {
    const FlownFlight& flown;
    std::string name;
    std::vector<Vec3> places_m;
    double hangs_m;
    double strays_m;
};

ComingFlight coming(const FlownTake& seen, const FlownFlight& flown) {
    return {flown, seen.name_of(flown), places_m(flown), hangs_m(seen.shoot, *flown.flight),
            strays_within_m(seen.shoot, *flown.flight)};
}

/// Whoever stands at the camera.
Box photographer(const Camera& camera) {
    const Vec3 head_m = camera.position_m;
    return {head_m - Vec3(0.4, 0.4, 1.6), head_m + Vec3(0.4, 0.4, 0.4)};
}

void add_near(Findings& list, const FlownTake& seen, const ComingFlight& flight,
              std::size_t place) {
    const Subject& subject = seen.shoot.subjects[place];
    const std::string name = fmt::format("\"{}\"", subject.name);
    const Mesh& mesh = seen.shoot.meshes[place];
    const double look_m = person_clearance_m + flight.strays_m;
    const NearPass pass{
        clearance_m(flight.flown.path, {flight.flown.path.begins_s(), flight.flown.until_s()}, mesh,
                    look_m, flight.hangs_m),
        flight.strays_m};
    if (pass.nearest_m() >= person_clearance_m) return;
    if (pass.planned_m < may_touch_m && goes_through(flight.flown, mesh, flight.hangs_m))
        list.push_back({"people", CautionLevel::danger,
                        fmt::format("The {} goes through {}: move one of them.", flight.name, name),
                        seen.alike(flight.flown, "through " + name)});
    else if (subject.takes_part)
        list.push_back({"people", CautionLevel::danger,
                        fmt::format("The {} passes {}. Keep {:.0f} m or more from a person, and "
                                    "more where rules ask it: a gust, a fallen lamp or a failed "
                                    "motor reaches that far.",
                                    flight.name, pass.words(name), person_clearance_m),
                        seen.alike(flight.flown, "near " + name, -pass.nearest_m())});
}

/// People who do not take part are kept farther off, which counts on the level.
void add_others(Findings& list, const FlownTake& seen, const ComingFlight& flight,
                std::size_t place) {
    if (seen.shoot.subjects[place].takes_part) return;
    const std::string name = fmt::format("\"{}\"", seen.shoot.subjects[place].name);
    const NearPass pass{level_distance_m(flight.places_m, box_of(seen.shoot.meshes[place])),
                        flight.strays_m};
    if (pass.nearest_m() >= others_clearance_m) return;
    list.push_back({"people", CautionLevel::danger,
                    fmt::format("The {} comes on the level {}, who takes no part. Rules may ask "
                                "{:.0f} m and more from such people: look them up, and let nobody "
                                "in until the drone has landed.",
                                flight.name, pass.words(name), others_clearance_m),
                    seen.alike(flight.flown, "others " + name, -pass.nearest_m())});
}

void add_photographer(Findings& list, const FlownTake& seen, const ComingFlight& flight) {
    const Box body = photographer(seen.shoot.camera);
    double apart_m = std::numeric_limits<double>::infinity();
    for (const Vec3& drone_m : flight.places_m) {
        const double lowest_m =
            std::min(drone_m.z, std::max(body.high_m.z, drone_m.z - flight.hangs_m));
        apart_m = std::min(apart_m, distance_m({Vec2(drone_m), lowest_m}, body));
    }
    const NearPass pass{apart_m, flight.strays_m};
    if (apart_m <= 0.0)
        list.push_back({"people", CautionLevel::danger,
                        fmt::format("The {} goes through the camera and whoever stands beside it.",
                                    flight.name),
                        seen.alike(flight.flown, "through the camera")});
    else if (pass.nearest_m() < person_clearance_m)
        list.push_back({"people", CautionLevel::danger,
                        fmt::format("The {} passes {}.", flight.name,
                                    pass.words("the camera and whoever stands beside it")),
                        seen.alike(flight.flown, "near the camera", -pass.nearest_m())});
}

/// Someone under the flight, within the reach of something that falls off.
void add_overhead(Findings& list, const FlownTake& seen, const ComingFlight& flight,
                  const Box& body, const std::string& name) {
    const bool over = std::ranges::any_of(flight.places_m, [&](const Vec3& drone_m) {
        const Vec3 at_head_m{Vec2(drone_m), body.high_m.z};
        return drone_m.z >= body.high_m.z &&
               distance_m(at_head_m, body) < falls_within_m + flight.strays_m;
    });
    if (!over) return;
    list.push_back({"people", CautionLevel::danger,
                    fmt::format("The {} passes over {}. Nothing should fly above a person: widen "
                                "or move the figure.",
                                flight.name, name),
                    seen.alike(flight.flown, "over " + name)});
}

}  // namespace

Findings safety_cautions(const FlownTake& seen) {
    Findings list;
    for (const FlownFlight& flown : seen.courses) {
        const ComingFlight flight = coming(seen, flown);
        for (const std::size_t place : seen.present) {
            if (!is_person(seen.shoot.subjects[place])) continue;
            add_near(list, seen, flight, place);
            add_others(list, seen, flight, place);
        }
        add_photographer(list, seen, flight);
        for (const std::size_t place : seen.present)
            if (is_person(seen.shoot.subjects[place]))
                add_overhead(list, seen, flight, box_of(seen.shoot.meshes[place]),
                             fmt::format("\"{}\"", seen.shoot.subjects[place].name));
        if (seen.shoot.camera.position_m.z <= highest_tripod_m)
            add_overhead(list, seen, flight, photographer(seen.shoot.camera),
                         "the camera and whoever stands beside it");
    }
    return list;
}

}  // namespace lampflight
