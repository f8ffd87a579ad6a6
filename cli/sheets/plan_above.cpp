// The plan from above: the line of sight runs to the right.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "cli/sheets/plan_drawing.h"
#include "cli/sheets/plan_fix.h"
#include "cli/sheets/plan_furniture.h"
#include "scene/basics/angle.h"

namespace lampflight {
namespace {

class AboveDrawing {
public:
    AboveDrawing(SvgPage& page, const PlanLayout& layout, const PlanFacts& facts,
                 const PlacedShoot& shoot)
        : layout_(layout),
          facts_(facts),
          shoot_(shoot),
          drawing_(page, layout.above, [&](const Vec3& world_m) {
              return layout.above.on_page(facts.sight.from_above(world_m));
          }) {}

    void draw() {
        draw_wedge(drawing_, lens(), 0.0, 0.5 * facts_.view_rad.x);
        draw_grid(drawing_, layout_.grid_m);
        draw_north(drawing_, facts_.sight, shoot_);
        draw_scale_bar(drawing_, layout_);
        draw_things();
        draw_flights();
        draw_camera();
        draw_words();
        drawing_.page.outline(drawing_.view.corner(), drawing_.view.size(), {plan_ink, 0.8, ""});
        drawing_.labels.draw(drawing_.page);
    }

private:
    Vec2 lens() const { return drawing_.on_page(facts_.sight.lens_m); }
    PlanFix fix(const Vec3& at_m) const {
        return plan_fix(facts_.sight.lens_m, at_m, std::nullopt);
    }

    bool is_ground(const PlannedSubject& subject) const {
        return is_landscape(subject, layout_, facts_.sight);
    }

    void draw_things() {
        SvgPage& page = drawing_.page;
        page.begin_clip(drawing_.view.corner(), drawing_.view.size());
        for (const PlannedFlight& flight : facts_.flights) drawing_.draw_straying(flight);
        for (const PlannedSubject& subject : facts_.subjects) {
            if (is_ground(subject)) continue;
            if (subject.is_person)
                page.dot(drawing_.on_page(subject.foot_m), person_ring_m * layout_.points_of_m(),
                         "none", {plan_ink, 0.8, "2 2.6"});
            drawing_.draw_mesh(shoot_.meshes[subject.place], subject,
                               subject.is_person ? "#9a958c" : plan_stone);
            if (subject.is_person) drawing_.draw_head(subject);
        }
        page.end_clip();
        for (const PlannedSubject& subject : facts_.subjects)
            if (const Vec2 at = drawing_.on_page(subject.head_m); drawing_.view.shows(at))
                drawing_.labels.keep_clear(at, subject.is_person ? 4.0 : 2.0);
        for (const Lamp& lamp : shoot_.lamps)
            if (lamp.position_m) drawing_.draw_lamp(*lamp.position_m);
        for (const Drone& drone : shoot_.drones) drawing_.draw_home(drone.home_m);
    }

    void draw_flights() {
        for (const std::vector<Vec3>& way_m : facts_.ways_m)
            drawing_.draw_way(way_m, {plan_faint, 0.8, "1 2.5"});
        for (std::size_t i = facts_.flights.size(); i-- > 0;)
            drawing_.draw_flight(facts_.flights[i], flight_pen(i));
    }

    /// A tripod's three legs, with the way it looks.
    void draw_camera() {
        constexpr double leg = 6.5;
        SvgPage& page = drawing_.page;
        const Vec2 at = lens();
        for (const double angle_deg : {60.0, 180.0, 300.0}) {
            const double angle_rad = radians(angle_deg);
            page.line(at, at + leg * Vec2(std::cos(angle_rad), std::sin(angle_rad)),
                      {plan_ink, 1.6, ""});
        }
        page.dot(at, 2.6, plan_ink, {"#ffffff", 0.6, ""});
        drawing_.labels.keep_clear(at, leg);
    }

    void draw_words() {
        const bool few = facts_.flights.size() <= most_named_flights;
        PlanLabels& labels = drawing_.labels;
        labels.add(lens(),
                   {{"Tripod", fmt::format("lens {} up, aim {}", tape_text(facts_.sight.lens_m.z),
                                           bearing_text(facts_.bearing_deg))},
                    plan_answer::stand});
        const NearestOfAll nearest = nearest_person(facts_);
        if (nearest.flight) drawing_.draw_nearest(nearest.nearest, plan_answer::person, "");
        for (std::size_t i = 0; i < facts_.flights.size(); ++i) {
            const PlannedFlight& flight = facts_.flights[i];
            const Vec2 at = drawing_.on_page(flight.start_m());
            if (!drawing_.view.shows(at)) continue;
            const PlanFix start_fix = fix(flight.start_m());
            if (!few || !labels.add(at, {{flight.tag + " starts",
                                          fmt::format("{} on {}", tape_text(start_fix.distance_m),
                                                      bearing_text(start_fix.bearing_deg))},
                                         plan_answer::start}))
                labels.add(at, {{flight.tag}, i == 0 ? plan_answer::start : 0});
        }
        draw_distances();
        if (few)
            for (const PlannedFlight& flight : facts_.flights)
                if (const auto at = drawing_.first_arrow(flight))
                    labels.add(*at, {way_lines(flight), plan_answer::round, false});
        name_things();
        point_beyond();
    }

    void draw_distances() {
        for (const PlannedFlight& flight : facts_.flights)
            if (flight.subject && facts_.flights.size() <= most_named_flights)
                drawing_.draw_nearest(*flight.subject, 0, flight.tag + " ");
        if (facts_.drones) drawing_.draw_nearest(*facts_.drones, 0, facts_.drones->name + " ");
        const NearestOfAll nearest = nearest_person(facts_);
        if (nearest.flight && nearest.flight->person)
            drawing_.draw_nearest(nearest.flight->camera, 0, "camera ");
    }

    static std::vector<std::string> way_lines(const PlannedFlight& flight) {
        const std::size_t from = flight.way_round.find(" seen");
        if (from == std::string::npos) return {flight.tag + " " + flight.way_round};
        return {flight.tag + " " + flight.way_round.substr(0, from),
                flight.way_round.substr(from + 1)};
    }

    static std::string home_words(const Drone& drone) {
        return drone.name.empty() ? "take-off" : fmt::format("take-off, {}", drone.name);
    }
    static std::string lamp_words(const Lamp& lamp) { return fmt::format("lamp {}", lamp.name); }

    void name(const Vec3& at_m, const std::string& words) {
        constexpr double widest = 110.0;
        if (const Vec2 at = drawing_.on_page(at_m); drawing_.view.shows(at))
            drawing_.labels.add(at, {{fitted(words, 8.0, widest)}, 0, false});
    }

    void name_things() {
        for (const PlannedSubject& subject : facts_.subjects)
            if (!is_ground(subject)) name(subject.head_m, subject.name);
        for (const Drone& drone : shoot_.drones) name(drone.home_m, home_words(drone));
        for (const Lamp& lamp : shoot_.lamps)
            if (lamp.position_m) name(*lamp.position_m, lamp_words(lamp));
    }

    /// An arrow at the edge towards what lies outside the drawing.
    void point_to(const Vec3& at_m, const std::string& words) {
        constexpr double inset = 4.0, arrow = 8.0;
        const PlanView& view = drawing_.view;
        const Vec2 at = drawing_.on_page(at_m);
        if (view.shows(at)) return;
        const Vec2 middle = view.corner() + 0.5 * view.size();
        const Vec2 by = at - middle, half = 0.5 * view.size() - Vec2(inset);
        const double share = std::min(half.x / std::max(std::abs(by.x), 1e-9),
                                      half.y / std::max(std::abs(by.y), 1e-9));
        const Vec2 tip = middle + share * by, way = glm::normalize(by);
        const Vec2 across = 3.5 * Vec2(-way.y, way.x);
        const PlanFix there = fix(at_m);
        if (!drawing_.labels.add(
                tip - arrow * way,
                {{fitted(words, 8.0, 90.0), fmt::format("{} on {}", tape_text(there.distance_m),
                                                        bearing_text(there.bearing_deg))},
                 0,
                 false}))
            return;
        drawing_.page.area({{tip, tip - arrow * way + across, tip - arrow * way - across}},
                           plan_ink, {plan_ink, 0.3, ""});
        drawing_.labels.keep_clear(tip - 0.5 * arrow * way, 0.5 * arrow);
    }

    void point_beyond() {
        for (const Drone& drone : shoot_.drones) point_to(drone.home_m, home_words(drone));
        for (const PlannedSubject& subject : facts_.subjects)
            if (!is_ground(subject)) point_to(subject.head_m, subject.name);
        for (const Lamp& lamp : shoot_.lamps)
            if (lamp.position_m) point_to(*lamp.position_m, lamp_words(lamp));
    }

    const PlanLayout& layout_;
    const PlanFacts& facts_;
    const PlacedShoot& shoot_;
    PlanDrawing drawing_;
};

}  // namespace

void draw_above(SvgPage& page, const PlanLayout& layout, const PlanFacts& facts,
                const PlacedShoot& shoot) {
    AboveDrawing(page, layout, facts, shoot).draw();
}

}  // namespace lampflight
