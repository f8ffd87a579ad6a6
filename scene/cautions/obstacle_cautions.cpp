#include "scene/cautions/caution_kinds.h"

#include <algorithm>

#include <fmt/format.h>

#include "scene/cautions/clearance.h"
#include "scene/cautions/passage.h"
#include "scene/subjects/people.h"
#include "scene/shoot/straying_of.h"

namespace lampflight {
namespace {

// Limits of caution. Common practice, no source.
constexpr double subject_clearance_m = 2.0;
constexpr double drones_apart_m = 5.0;
constexpr double smallest_circle_m = 5.0;

void add_subjects(Findings& list, const FlownTake& seen, const FlownFlight& flown) {
    const double hanging_m = hangs_m(seen.shoot, *flown.flight);
    const double strays_m = strays_within_m(seen.shoot, *flown.flight);
    for (const std::size_t place : seen.present) {
        const Subject& subject = seen.shoot.subjects[place];
        if (is_person(subject)) continue;
        const Mesh& mesh = seen.shoot.meshes[place];
        const NearPass pass{clearance_m(flown.path, {flown.path.begins_s(), flown.until_s()}, mesh,
                                        subject_clearance_m + strays_m, hanging_m),
                            strays_m};
        if (pass.nearest_m() >= subject_clearance_m) continue;
        if (pass.planned_m < may_touch_m && goes_through(flown, mesh, hanging_m))
            list.push_back({"subject", CautionLevel::danger,
                            fmt::format("The {} goes through \"{}\": move the figure, or the way "
                                        "to it.",
                                        seen.name_of(flown), subject.name),
                            seen.alike(flown, "through " + subject.name)});
        else
            list.push_back(
                {"subject", CautionLevel::care,
                 fmt::format("The {} passes {}. Satellite positioning alone can be out "
                             "by more than that.",
                             seen.name_of(flown), pass.words(fmt::format("\"{}\"", subject.name))),
                 seen.alike(flown, "near " + subject.name, -pass.nearest_m())});
    }
}

bool goes_round(const Flight& flight) {
    return flight.shape == FlightShape::circle || flight.shape == FlightShape::ring ||
           flight.shape == FlightShape::helix;
}

/// The first of the subjects that a circle goes round; a person if there is one.
const Subject* encircled(const FlownTake& seen, const Flight& flight) {
    const Subject* found = nullptr;
    for (const std::size_t place : seen.present) {
        const Subject& subject = seen.shoot.subjects[place];
        const Vec2 middle_m(box_of(seen.shoot.meshes[place]).middle_m());
        if (glm::distance(middle_m, flight.centre_m) > flight.radius_m) continue;
        if (is_person(subject)) return &subject;
        if (!found) found = &subject;
    }
    return found;
}

void add_small_circle(Findings& list, const FlownTake& seen, const FlownFlight& flown) {
    const Flight& flight = *flown.flight;
    if (!goes_round(flight) || flight.radius_m >= smallest_circle_m) return;
    const Subject* inside = encircled(seen, flight);
    const std::string radius =
        fmt::format("The {} goes round{} with a radius of {:.1f} m", seen.name_of(flown),
                    inside ? fmt::format(" \"{}\"", inside->name) : "", flight.radius_m);
    const std::string common =
        fmt::format("{:.0f} m or more is common practice, for positioning errs by a metre or two",
                    smallest_circle_m);
    if (inside && is_person(*inside))
        list.push_back({"people", CautionLevel::care,
                        fmt::format("{}: {}, and someone stands in the middle.", radius, common),
                        seen.alike(flown, "round a person", -flight.radius_m)});
    else
        list.push_back({"flight", CautionLevel::care, fmt::format("{}: {}.", radius, common),
                        seen.alike(flown, "small circle", -flight.radius_m)});
}

void add_neighbours(Findings& list, const FlownTake& seen) {
    const std::vector<FlownFlight>& flown = seen.courses;
    for (std::size_t i = 0; i < flown.size(); ++i)
        for (std::size_t j = i + 1; j < flown.size(); ++j) {
            const TimeWindow both{std::max(flown[i].path.begins_s(), flown[j].path.begins_s()),
                                  std::min(flown[i].until_s(), flown[j].until_s())};
            if (!(both.from_s < both.to_s)) continue;  // one drone's come one after another
            const NearPass pass{separation_m(flown[i].path, flown[j].path, both),
                                strays_within_m(seen.shoot, *flown[i].flight) +
                                    strays_within_m(seen.shoot, *flown[j].flight)};
            if (pass.nearest_m() >= drones_apart_m) continue;
            list.push_back({"drones",
                            CautionLevel::danger,
                            fmt::format("In take \"{}\" the drones of \"{}\" and \"{}\" come {}.",
                                        seen.take.name, flown[i].flight->name,
                                        flown[j].flight->name, pass.words("each other")),
                            {"near each other", "pair",
                             fmt::format("{} and {}", flown[i].flight->name, flown[j].flight->name),
                             seen.take.name, -pass.nearest_m()}});
        }
}

}  // namespace

Findings obstacle_cautions(const FlownTake& seen) {
    Findings list;
    for (const FlownFlight& flown : seen.courses) add_subjects(list, seen, flown);
    for (const FlownFlight& flown : seen.flights) add_small_circle(list, seen, flown);
    add_neighbours(list, seen);
    return list;
}

}  // namespace lampflight
