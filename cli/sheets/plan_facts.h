// What a set-up plan tells of a shoot, before anything is drawn: who stands and starts where, how
// flights run, and how near they come.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scene/camera/camera.h"
#include "scene/shoot/placed_shoot.h"
#include "scene/subjects/box.h"

namespace lampflight {

/// The level line from the tripod to where the camera looks, and how places lie along it.
struct SightLine {
    Vec3 lens_m;
    Vec2 along;  ///< unit

    explicit SightLine(const Camera& camera);
    /// Metres along the line and to its left: the plan, seen from above.
    Vec2 from_above(const Vec3& world_m) const;
    /// Metres along the line and up: the side view, seen from its right.
    Vec2 from_side(const Vec3& world_m) const;
};

/// How near a flight comes to something, through the air, over all of its way.
struct PlanNearest {
    std::string name;
    double apart_m;
    Vec3 flight_m;  ///< on the flight, about where it is nearest
    Vec3 other_m;   ///< on the other
};

struct PlannedFlight {
    const Flight* flight;
    std::string tag;                 ///< a letter of its own: "A"
    std::vector<std::string> takes;  ///< in which it is flown
    std::vector<Vec3> way_m;         ///< from its first place to its last
    double lowest_m;
    double highest_m;
    Vec2 lap_s;       ///< of one turn: the least and the most in any take
    Vec2 whole_s;     ///< of the whole flight, likewise
    double strays_m;  ///< to any side; 0 where it does not
    std::string way_round;
    std::optional<PlanNearest> person;
    std::optional<PlanNearest> subject;  ///< that is no person
    PlanNearest camera;                  ///< with whoever stands beside it

    Vec3 start_m() const { return way_m.front(); }
    Vec3 end_m() const { return way_m.back(); }
    bool ends_at_start() const;
};

struct PlannedSubject {
    std::size_t place;  ///< in the shoot's list
    std::string name;
    bool is_person;
    Box box;
    Vec3 head_m;  ///< middle of a person's head; of anything else of its box
    Vec3 foot_m;  ///< where the scene puts it down; of a mesh that lies elsewhere, its box's middle
};

struct PlanFacts {
    SightLine sight;
    double bearing_deg;  ///< of the camera's axis
    double tilt_deg;     ///< upwards positive
    Vec2 view_rad;       ///< across and up
    std::vector<PlannedFlight> flights;
    std::vector<std::vector<Vec3>> ways_m;  ///< from flight to flight
    std::vector<PlannedSubject> subjects;   ///< those of any take
    std::optional<PlanNearest> drones;      ///< the two that come nearest: "A and B"
};

/// The middle of the top eighth of a mesh, where a standing person's head is.
Vec3 head_of(const Mesh& mesh);

PlanFacts plan_facts(const PlacedShoot& shoot);

}  // namespace lampflight
