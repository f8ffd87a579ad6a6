#include "cli/sheets/plan_facts.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

#include "cli/sheets/plan_nearest.h"
#include "cli/sheets/plan_way.h"
#include "scene/basics/angle.h"
#include "scene/shoot/flown_flight.h"
#include "scene/shoot/presence.h"
#include "scene/shoot/straying_of.h"
#include "scene/subjects/people.h"

namespace lampflight {
namespace {

Vec2 level_axis(const Camera& camera) {
    const CameraAxes axes = axes_of(camera);
    const Vec2 level(axes.forward);
    if (glm::length(level) > 1e-6) return glm::normalize(level);
    // Straight up or down: the way that the picture's top points, turned to the ground.
    const Vec2 top = (axes.forward.z > 0.0 ? -1.0 : 1.0) * Vec2(axes.up);
    return glm::length(top) > 1e-6 ? glm::normalize(top) : Vec2(0.0, 1.0);
}

bool is_nearer(const std::optional<PlanNearest>& than, const PlanNearest& found) {
    return !than || found.apart_m < than->apart_m;
}

void widen(Vec2& span, double value) {
    span = {std::min(span.x, value), std::max(span.y, value)};
}

/// Gathers flights over the takes: the same one in several is told once.
class Gathering {
public:
    Gathering(const PlacedShoot& shoot, PlanFacts& facts) : shoot_(shoot), facts_(facts) {}

    void add(const Take& take) {
        const std::vector<std::size_t> present = present_subjects(shoot_, take);
        for (const std::size_t place : present) add_subject(place);
        const std::vector<FlownFlight> flown = flown_flights(shoot_, take);
        for (const FlownFlight& one : flown) add_flight(take, one, present);
        const std::vector<FlownFlight> ways = flown_ways(shoot_, take, flown);
        for (const FlownFlight& way : ways) facts_.ways_m.push_back(way_of(way.path));
        add_neighbours(flown, ways);
    }

private:
    void add_subject(std::size_t place) {
        const auto known = std::ranges::find(facts_.subjects, place, &PlannedSubject::place);
        if (known != facts_.subjects.end() || shoot_.meshes[place].positions.empty()) return;
        const Subject& subject = shoot_.subjects[place];
        const Box box = box_of(shoot_.meshes[place]);
        const bool person = is_person(subject);
        const Vec2 put_m(subject.position_m), low_m(box.low_m), high_m(box.high_m);
        const bool within = put_m == glm::clamp(put_m, low_m, high_m);
        facts_.subjects.push_back({place, subject.name, person, box,
                                   person ? head_of(shoot_.meshes[place]) : box.middle_m(),
                                   {within ? put_m : Vec2(box.middle_m()), box.low_m.z}});
    }

    PlannedFlight& flight_at(const FlownFlight& flown) {
        const auto known = std::ranges::find(facts_.flights, flown.flight, &PlannedFlight::flight);
        if (known != facts_.flights.end()) return *known;
        std::vector<Vec3> way_m = way_of(flown.path);
        const auto heights =
            std::ranges::minmax(way_m, {}, [](const Vec3& place_m) { return place_m.z; });
        const Vec2 lap_s(flown.path.lap_s()), whole_s(flown.path.duration_s());
        const std::string way = way_round(*flown.flight, way_m, facts_.sight);
        PlanNearest camera =
            nearest_to_camera(way_m, facts_.sight.lens_m, hangs_m(shoot_, *flown.flight));
        facts_.flights.push_back({flown.flight,
                                  tag_of(facts_.flights.size()),
                                  {},
                                  std::move(way_m),
                                  heights.min.z,
                                  heights.max.z,
                                  lap_s,
                                  whole_s,
                                  strays_within_m(shoot_, *flown.flight),
                                  way,
                                  std::nullopt,
                                  std::nullopt,
                                  std::move(camera)});
        return facts_.flights.back();
    }

    void add_flight(const Take& take, const FlownFlight& flown,
                    const std::vector<std::size_t>& present) {
        PlannedFlight& flight = flight_at(flown);
        flight.takes.push_back(take.name);
        widen(flight.lap_s, flown.path.lap_s());
        widen(flight.whole_s, flown.path.duration_s());
        for (const std::size_t place : present) {
            const Mesh& mesh = shoot_.meshes[place];
            const auto told = std::make_pair(flown.flight, place);
            if (mesh.triangles.empty() || !nearest_told_.insert(told).second) continue;
            PlanNearest nearest =
                nearest_to(flown.path, flight.way_m, mesh, shoot_.subjects[place].name,
                           hangs_m(shoot_, *flown.flight));
            auto& slot = is_person(shoot_.subjects[place]) ? flight.person : flight.subject;
            if (is_nearer(slot, nearest)) slot = std::move(nearest);
        }
    }

    std::string tag_in_plan(const FlownFlight& flown) const {
        return std::ranges::find(facts_.flights, flown.flight, &PlannedFlight::flight)->tag;
    }

    /// A drone on its way to a flight goes by that flight's letter.
    void add_neighbours(const std::vector<FlownFlight>& flights,
                        const std::vector<FlownFlight>& ways) {
        std::vector<const FlownFlight*> all;
        for (const FlownFlight& flown : flights) all.push_back(&flown);
        for (const FlownFlight& flown : ways) all.push_back(&flown);
        for (std::size_t i = 0; i < all.size(); ++i)
            for (std::size_t j = i + 1; j < all.size(); ++j) {
                auto nearest =
                    nearest_together(all[i]->path, all[j]->path,
                                     tag_in_plan(*all[i]) + " and " + tag_in_plan(*all[j]));
                if (nearest && is_nearer(facts_.drones, *nearest))
                    facts_.drones = std::move(nearest);
            }
    }

    const PlacedShoot& shoot_;
    PlanFacts& facts_;
    std::set<std::pair<const Flight*, std::size_t>> nearest_told_;
};

}  // namespace

SightLine::SightLine(const Camera& camera) : lens_m(camera.position_m), along(level_axis(camera)) {}

Vec2 SightLine::from_above(const Vec3& world_m) const {
    const Vec2 by_m = Vec2(world_m) - Vec2(lens_m);
    return {glm::dot(by_m, along), glm::dot(by_m, Vec2(-along.y, along.x))};
}

Vec2 SightLine::from_side(const Vec3& world_m) const {
    return {glm::dot(Vec2(world_m) - Vec2(lens_m), along), world_m.z};
}

bool PlannedFlight::ends_at_start() const {
    constexpr double together_m = 0.5;
    return glm::distance(start_m(), end_m()) < together_m;
}

Vec3 head_of(const Mesh& mesh) {
    const Box box = box_of(mesh);
    const double from_m = glm::mix(box.low_m.z, box.high_m.z, 0.875);
    Vec3 low_m(1e12), high_m(-1e12);
    for (const glm::vec3& position : mesh.positions) {
        if (static_cast<double>(position.z) < from_m) continue;
        low_m = glm::min(low_m, Vec3(position));
        high_m = glm::max(high_m, Vec3(position));
    }
    return 0.5 * (low_m + high_m);
}

PlanFacts plan_facts(const PlacedShoot& shoot) {
    const CameraAxes axes = axes_of(shoot.camera);
    PlanFacts facts{SightLine(shoot.camera),
                    0.0,
                    degrees(std::asin(std::clamp(axes.forward.z, -1.0, 1.0))),
                    field_of_view_rad(shoot.camera),
                    {},
                    {},
                    {},
                    std::nullopt};
    facts.bearing_deg = degrees(bearing_of({facts.sight.along, 0.0}));
    Gathering gathering(shoot, facts);
    for (const Take& take : shoot.takes) gathering.add(take);
    return facts;
}

}  // namespace lampflight
