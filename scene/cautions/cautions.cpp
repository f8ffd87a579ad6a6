#include "scene/cautions/cautions.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <iterator>
#include <limits>

#include "scene/cautions/clearance.h"
#include "scene/cautions/focus_cautions.h"
#include "scene/cautions/shadow_cautions.h"
#include "scene/cautions/time_cautions.h"
#include "scene/shoot/framing.h"
#include "scene/shoot/lit_lamp.h"
#include "scene/shoot/presence.h"

namespace lampflight {
namespace {

// Limits of caution. Common practice, no source; they ask for a second look and prove nothing.
constexpr double person_clearance_m = 5.0;
constexpr double subject_clearance_m = 2.0;
constexpr double drones_apart_m = 5.0;
constexpr double low_height_m = 2.0;
constexpr double high_height_m = 120.0;  ///< a ceiling that several countries share
constexpr double dazzling_lx = 100.0;
constexpr double brisk_acceleration_m_s2 = 3.0;

using Cautions = std::vector<Caution>;

/// One flight of a take, for as long as it is in the air while the shutter is open.
struct Flown {
    const Take& take;
    const Flight& flight;
    FlightPath path;
    double shutter_s;

    double flown_s() const { return std::min(shutter_s, path.duration_s()); }
    std::string name() const {
        return fmt::format("flight \"{}\" in take \"{}\"", flight.name, take.name);
    }
};

std::vector<Flown> flown_in(const Shoot& shoot, const Take& take) {
    const double shutter_s = settings_of(shoot, take).shutter_s;
    std::vector<Flown> flown;
    for (const std::string& name : take.flights)
        if (const Flight* flight = find_named(shoot.flights, name))
            flown.push_back({take, *flight, FlightPath(*flight, shutter_s), shutter_s});
    return flown;
}

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

void add_standing_rules(Cautions& list, const Shoot& shoot) {
    if (shoot.flights.empty()) return;
    list.push_back({"night", CautionLevel::care,
                    "Night flight near people: check the rules where you fly. You may need "
                    "permission, a licence or extra training, and a lawful anti-collision "
                    "light. Practise the flight by day and keep a spotter beside you."});
    list.push_back({"airspace", CautionLevel::care,
                    "Look up today's airspace and temporary restrictions for this place, and ask "
                    "the owner of the land. This tool knows neither."});
    list.push_back({"load", CautionLevel::care,
                    "Lamps are a load: tie each one on twice, keep the centre of gravity under the "
                    "drone, stay within its rated payload, keep sensors and vents clear, and hover "
                    "low for a minute before the first take."});
    list.push_back({"battery", CautionLevel::care,
                    "Land with a reserve. This tool does not know your battery: time a hover with "
                    "the lamps on in the evening's cold, and plan from that."});
    if (!shoot.lamps.empty())
        list.push_back({"eyes", CautionLevel::note,
                        "Nobody looks into a lamp, on the ground or in the air. Switch lamps on "
                        "only when everyone knows, and warn drivers and neighbours."});
}

void add_people(Cautions& list, const PlacedShoot& shoot, const Flown& flown) {
    for (const std::size_t place : present_subjects(shoot, flown.take)) {
        const Subject& subject = shoot.subjects[place];
        const bool person = is_person(subject);
        const double limit_m = person ? person_clearance_m : subject_clearance_m;
        const double apart_m =
            clearance_m(flown.path, flown.flown_s(), shoot.meshes[place], limit_m);
        if (apart_m >= limit_m) continue;
        const std::string what = fmt::format("The {} passes within {:.1f} m of \"{}\". ",
                                             flown.name(), apart_m, subject.name);
        if (person)
            list.push_back({"people", CautionLevel::danger,
                            what + fmt::format("Keep {:.0f} m or more from a person: a gust, a "
                                               "fallen lamp or a failed motor reaches that far.",
                                               person_clearance_m)});
        else
            list.push_back({"subject", CautionLevel::care,
                            what + "Satellite positioning alone can be out by more than that."});
    }
}

/// Whoever stands at the camera counts as well.
void add_photographer(Cautions& list, const PlacedShoot& shoot, const Flown& flown) {
    const Vec3 head_m = shoot.camera.position_m;
    const Box body{head_m - Vec3(0.4, 0.4, 1.6), head_m + Vec3(0.4, 0.4, 0.4)};
    double apart_m = std::numeric_limits<double>::infinity();
    for (int i = 0; i <= 360; ++i)
        apart_m =
            std::min(apart_m, distance_m(flown.path.position_m(flown.flown_s() * i / 360.0), body));
    if (apart_m >= person_clearance_m) return;
    list.push_back({"people", CautionLevel::danger,
                    fmt::format("The {} passes within {:.1f} m of the camera and whoever stands "
                                "beside it.",
                                flown.name(), apart_m)});
}

/// A person under the flight, within the reach of something that falls off.
void add_overhead(Cautions& list, const PlacedShoot& shoot, const Flown& flown) {
    constexpr double falls_within_m = 2.0;
    for (const std::size_t place : present_subjects(shoot, flown.take)) {
        if (!is_person(shoot.subjects[place])) continue;
        const Box body = box_of(shoot.meshes[place]);
        for (int i = 0; i <= 360; ++i) {
            const Vec3 drone_m = flown.path.position_m(flown.flown_s() * i / 360.0);
            const Vec3 at_head_m{Vec2(drone_m), body.high_m.z};
            if (drone_m.z < body.high_m.z || distance_m(at_head_m, body) >= falls_within_m)
                continue;
            list.push_back({"people", CautionLevel::danger,
                            fmt::format("The {} passes over \"{}\". Nothing should fly above a "
                                        "person: widen or move the figure.",
                                        flown.name(), shoot.subjects[place].name)});
            break;
        }
    }
}

void add_height(Cautions& list, const PlacedShoot& shoot, const Flown& flown) {
    double lowest_m = std::numeric_limits<double>::infinity();
    double highest_m = -lowest_m;
    double low_near_subject_m = lowest_m;
    const std::vector<std::size_t> present = present_subjects(shoot, flown.take);
    for (int i = 0; i <= 360; ++i) {
        const Vec3 drone_m = flown.path.position_m(flown.flown_s() * i / 360.0);
        lowest_m = std::min(lowest_m, drone_m.z);
        highest_m = std::max(highest_m, drone_m.z);
        for (const std::size_t place : present)
            if (glm::distance(Vec2(drone_m), Vec2(shoot.subjects[place].position_m)) < 15.0)
                low_near_subject_m = std::min(low_near_subject_m, drone_m.z);
    }
    if (highest_m > high_height_m)
        list.push_back({"height", CautionLevel::danger,
                        fmt::format("The {} climbs to {:.0f} m. Many places set the ceiling at "
                                    "about {:.0f} m above ground: check the rules where you fly.",
                                    flown.name(), highest_m, high_height_m)});
    if (lowest_m <= 0.0)
        list.push_back({"height", CautionLevel::danger,
                        fmt::format("The {} reaches the ground: its lowest point is at {:.1f} m.",
                                    flown.name(), lowest_m)});
    else if (low_near_subject_m < low_height_m)
        list.push_back({"height", CautionLevel::care,
                        fmt::format("The {} comes down to {:.1f} m near a subject, at the height "
                                    "of heads and branches.",
                                    flown.name(), low_near_subject_m)});
}

void add_agility(Cautions& list, const Flown& flown) {
    const double acceleration_m_s2 = flown.path.top_acceleration_m_s2();
    if (acceleration_m_s2 <= brisk_acceleration_m_s2) return;
    list.push_back({"speed", CautionLevel::care,
                    fmt::format("The {} turns at {:.1f} m/s2 and {:.1f} m/s. A loaded drone may "
                                "not hold that line: fly slower or wider.",
                                flown.name(), acceleration_m_s2, flown.path.top_speed_m_s())});
}

/// A speed that was asked for and that the flight's limits forbid.
void add_held_speed(Cautions& list, const Flown& flown) {
    if (!flown.flight.limits.given() || !flown.flight.speed_m_s) return;
    const double top_m_s = flown.path.top_speed_m_s();
    if (top_m_s >= (1.0 - 1e-3) * *flown.flight.speed_m_s) return;
    list.push_back({"speed", CautionLevel::note,
                    fmt::format("The {} is asked to go at {} m/s; within its limits it comes to "
                                "{:.1f} m/s.",
                                flown.name(), *flown.flight.speed_m_s, top_m_s)});
}

void add_neighbours(Cautions& list, const std::vector<Flown>& flown) {
    for (std::size_t i = 0; i < flown.size(); ++i)
        for (std::size_t j = i + 1; j < flown.size(); ++j) {
            const double until_s = std::min(flown[i].flown_s(), flown[j].flown_s());
            const double apart_m = separation_m(flown[i].path, flown[j].path, until_s);
            if (apart_m >= drones_apart_m) continue;
            list.push_back(
                {"drones", CautionLevel::danger,
                 fmt::format("In take \"{}\" the drones of \"{}\" and \"{}\" come within "
                             "{:.1f} m of each other.",
                             flown[i].take.name, flown[i].flight.name, flown[j].flight.name,
                             apart_m)});
        }
}

struct Glare {
    double illuminance_lx = 0.0;
    double distance_m = 0.0;
};

/// Most light that a lamp sends to a pair of eyes turned to it, by the inverse square law, from its
/// first light to its last: nobody times a look by a beacon's dark moments.
Glare worst_glare(const LitLamp& lit, const std::optional<Vec3>& target_m, const Vec3& eyes_m) {
    const Beam beam(*lit.lamp);
    Glare worst;
    for (int i = 0; i <= 360; ++i) {
        const double time_s = glm::mix(lit.lit.front().from_s, lit.lit.back().to_s, i / 360.0);
        const Vec3 to_eyes = eyes_m - lit.position_m(time_s);
        const double apart_m = std::max(glm::length(to_eyes), 0.05);
        const double cos_to_aim = glm::dot(aim_direction(lit, target_m, time_s), to_eyes) / apart_m;
        const double illuminance_lx =
            lit.flux_scale * beam.intensity_cd(cos_to_aim) / (apart_m * apart_m);
        if (illuminance_lx > worst.illuminance_lx) worst = {illuminance_lx, apart_m};
    }
    return worst;
}

void add_glare(Cautions& list, const PlacedShoot& shoot, const Take& take) {
    for (const LitLamp& lit : lit_lamps(shoot, take))
        for (const std::size_t place : present_subjects(shoot, take)) {
            if (!is_person(shoot.subjects[place])) continue;
            const Glare glare =
                worst_glare(lit, aim_target_m(shoot, *lit.lamp), eyes_of(shoot.meshes[place]));
            if (glare.illuminance_lx <= dazzling_lx) continue;
            list.push_back(
                {"eyes", CautionLevel::danger,
                 fmt::format("In take \"{}\" lamp \"{}\" shines {:.0f} lx into the eyes "
                             "of \"{}\" from {:.1f} m. Look away, dim it or move it off.",
                             take.name, lit.lamp->name, glare.illuminance_lx,
                             shoot.subjects[place].name, glare.distance_m)});
        }
}

void add_frame(Cautions& list, const Shoot& shoot, const Flown& flown) {
    const Framing framing = frame_flight(shoot.camera, flown.path, flown.shutter_s);
    if (!framing.box)
        list.push_back({"frame", CautionLevel::care,
                        fmt::format("The {} lies wholly behind the camera.", flown.name())});
    else if (framing.in_frame <= 0.0)
        list.push_back({"frame", CautionLevel::care,
                        fmt::format("The {} lies wholly outside the frame.", flown.name())});
    else if (framing.in_frame < 1.0)
        list.push_back({"frame", CautionLevel::care,
                        fmt::format("The {} is out of the frame for {:.1f} % of its time. Step "
                                    "back, aim anew or take a wider lens.",
                                    flown.name(), 100.0 * (1.0 - framing.in_frame))});
}

void add_timing(Cautions& list, const Flown& flown) {
    // Short of a thousandth of the shutter, nobody sees or times the difference.
    const double slack_s = 1e-3 * flown.shutter_s;
    const double over_s = flown.path.duration_s() - flown.shutter_s;
    if (over_s < -slack_s) {
        list.push_back({"lap", CautionLevel::note,
                        fmt::format("The shutter stays open {:.1f} s after the {} has ended: the "
                                    "sky goes on gathering, the lamps are taken as dark.",
                                    -over_s, flown.name())});
        return;
    }
    if (over_s <= slack_s) return;
    const bool gap = closes(flown.flight.shape) && flown.flight.turns >= 1.0 &&
                     flown.path.flown_turns(flown.shutter_s + slack_s) < 1.0;
    const std::string cut =
        fmt::format("The {} takes {:.1f} s but the shutter closes at {:.1f} s: ", flown.name(),
                    flown.path.duration_s(), flown.shutter_s);
    if (gap)
        list.push_back(
            {"lap", CautionLevel::care,
             cut + fmt::format("a gap of {:.0f} degrees stays open. Fly the lap faster "
                               "or pace it by the shutter.",
                               -closure_deg(flown.flight, flown.path, flown.shutter_s))});
    else
        list.push_back({"lap", CautionLevel::care, cut + "the rest is not in the picture."});
}

bool is_flown(const Shoot& shoot, const Flight& flight) {
    return std::any_of(shoot.takes.begin(), shoot.takes.end(), [&](const Take& take) {
        return std::count(take.flights.begin(), take.flights.end(), flight.name) > 0;
    });
}

void add_unused(Cautions& list, const Shoot& shoot) {
    for (const Lamp& lamp : shoot.lamps) {
        const bool carried =
            std::any_of(shoot.flights.begin(), shoot.flights.end(), [&](const Flight& flight) {
                return std::count(flight.carries.begin(), flight.carries.end(), lamp.name) > 0;
            });
        if (!carried && !lamp.position_m)
            list.push_back({"lamp", CautionLevel::care,
                            fmt::format("Lamp \"{}\" is carried by no flight and stands nowhere, "
                                        "so it never burns.",
                                        lamp.name)});
    }
    for (const Flight& flight : shoot.flights)
        if (!is_flown(shoot, flight))
            list.push_back({"flight", CautionLevel::note,
                            fmt::format("Flight \"{}\" is flown in no take.", flight.name)});
}

}  // namespace

std::vector<Caution> cautions(const PlacedShoot& shoot) {
    Cautions list;
    for (const Take& take : shoot.takes) {
        const std::vector<Flown> flown = flown_in(shoot, take);
        for (const Flown& one : flown) {
            add_people(list, shoot, one);
            add_photographer(list, shoot, one);
            add_overhead(list, shoot, one);
            add_height(list, shoot, one);
            add_agility(list, one);
            add_held_speed(list, one);
        }
        add_neighbours(list, flown);
        add_glare(list, shoot, take);
        for (const Flown& one : flown) {
            add_frame(list, shoot, one);
            add_timing(list, one);
        }
    }
    add_unused(list, shoot);
    std::ranges::move(time_cautions(shoot), std::back_inserter(list));
    std::ranges::move(focus_cautions(shoot), std::back_inserter(list));
    std::ranges::move(shadow_cautions(shoot), std::back_inserter(list));
    add_standing_rules(list, shoot);
    std::stable_sort(list.begin(), list.end(), [](const Caution& one, const Caution& other) {
        return one.level > other.level;
    });
    return list;
}

}  // namespace lampflight
