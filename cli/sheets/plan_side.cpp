// The side view: the line of sight runs to the right, heights go up.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "cli/sheets/plan_drawing.h"
#include "cli/sheets/plan_fix.h"
#include "cli/sheets/plan_furniture.h"
#include "scene/basics/angle.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

class SideDrawing {
public:
    SideDrawing(SvgPage& page, const PlanLayout& layout, const PlanFacts& facts,
                const PlacedShoot& shoot)
        : layout_(layout),
          facts_(facts),
          shoot_(shoot),
          drawing_(page, layout.side, [&](const Vec3& world_m) {
              return layout.side.on_page(facts.sight.from_side(world_m));
          }) {}

    void draw() {
        draw_wedge(drawing_, drawing_.on_page(facts_.sight.lens_m), radians(facts_.tilt_deg),
                   0.5 * facts_.view_rad.y);
        draw_grid(drawing_, layout_.grid_m);
        draw_things();
        draw_ground();
        draw_ticks();
        draw_flights();
        draw_camera();
        draw_words();
        drawing_.page.outline(drawing_.view.corner(), drawing_.view.size(), {plan_ink, 0.8, ""});
        drawing_.labels.draw(drawing_.page);
    }

private:
    /// The ground under the line of sight.
    void draw_ground() {
        const PlanView& view = drawing_.view;
        const Terrain terrain = terrain_of(shoot_);
        const double bottom = view.room.top + view.room.height;
        std::vector<Vec2> line;
        constexpr double step = 2.0;
        for (double x = view.room.left; x <= view.room.left + view.room.width; x += step) {
            const double along_m =
                view.middle_m.x + (x - view.on_page(view.middle_m).x) / view.points_of_m;
            const Vec2 place_m = Vec2(facts_.sight.lens_m) + along_m * facts_.sight.along;
            line.emplace_back(x, view.on_page({along_m, ground_height_m(terrain, place_m)}).y);
        }
        std::vector<Vec2> soil = line;
        soil.emplace_back(line.back().x, bottom);
        soil.emplace_back(line.front().x, bottom);
        drawing_.page.begin_clip(view.corner(), view.size());
        drawing_.page.area({soil}, "#e4e0d6", {"none", 0.0, ""});
        drawing_.page.end_clip();
        drawing_.page.curve(line, {plan_ink, 1.0, ""}, view.corner(), view.size());
        drawing_.labels.keep_clear({view.room.left, bottom - 14.0, view.room.width, 14.0});
    }

    /// Metres from the tripod below the ground, heights at the left.
    void draw_ticks() {
        const PlanView& view = drawing_.view;
        const double step_m = layout_.grid_m, bottom = view.room.top + view.room.height;
        const double half_m = 0.5 * view.room.width / view.points_of_m;
        for (int i = static_cast<int>(std::ceil((view.middle_m.x - half_m) / step_m));
             i * step_m <= view.middle_m.x + half_m; ++i) {
            const double x = view.on_page({i * step_m, 0.0}).x;
            if (x < view.room.left + 30.0 || x > view.room.left + view.room.width - 14.0) continue;
            drawing_.page.line({x, bottom - 12.0}, {x, bottom - 15.0}, {plan_ink, 0.6, ""});
            drawing_.page.text({x, bottom - 4.0}, number_text(i * step_m) + (i == 0 ? " m" : ""),
                               {8.0, plan_ink, false, Anchor::middle});
        }
        for (int i = 0;; ++i) {
            const double y = view.on_page({0.0, i * step_m}).y;
            if (y < view.room.top + 9.0) break;
            if (y > bottom - 16.0) continue;
            const std::string words = number_text(i * step_m) + " m";
            const double width = plan_text_width(words, 8.0) + 4.0;
            drawing_.page.box({view.room.left + 1.0, y - 5.0}, {width, 10.0}, "#ffffff", 0.8);
            drawing_.page.text({view.room.left + 3.0, y + 3.0}, words, {8.0, plan_ink});
            drawing_.labels.keep_clear({view.room.left + 1.0, y - 5.0, width, 10.0});
        }
    }

    void draw_things() {
        SvgPage& page = drawing_.page;
        page.begin_clip(drawing_.view.corner(), drawing_.view.size());
        for (const bool people : {false, true})
            for (const PlannedSubject& subject : facts_.subjects) {
                if (subject.is_person != people || is_landscape(subject, layout_, facts_.sight))
                    continue;
                drawing_.draw_mesh(shoot_.meshes[subject.place], subject,
                                   people ? "#9a958c" : plan_stone);
                if (people) drawing_.draw_head(subject);
            }
        page.end_clip();
    }

    void draw_flights() {
        for (const PlannedFlight& flight : facts_.flights) drawing_.draw_straying(flight);
        for (const Lamp& lamp : shoot_.lamps)
            if (lamp.position_m) drawing_.draw_lamp(*lamp.position_m);
        for (const Drone& drone : shoot_.drones) drawing_.draw_home(drone.home_m);
        for (const std::vector<Vec3>& way_m : facts_.ways_m)
            drawing_.draw_way(way_m, {plan_faint, 0.8, "1 2.5"});
        for (std::size_t i = facts_.flights.size(); i-- > 0;)
            drawing_.draw_flight(facts_.flights[i], flight_pen(i));
    }

    void draw_camera() {
        const Vec3 lens_m = facts_.sight.lens_m;
        const Vec2 at = drawing_.on_page(lens_m);
        const Vec2 foot = drawing_.on_page({Vec2(lens_m), 0.0});
        SvgPage& page = drawing_.page;
        const double spread = std::clamp(0.3 * std::abs(foot.y - at.y), 2.0, 9.0);
        for (const double aside : {-spread, 0.0, spread})
            page.line(at, foot + Vec2(aside, 0.0), {plan_ink, 1.2, ""});
        page.dot(at, 2.8, plan_ink, {"#ffffff", 0.6, ""});
        drawing_.labels.keep_clear({at.x - spread, at.y - 3.0, 2.0 * spread, foot.y - at.y + 3.0});
    }

    /// A measured height over the scene's level ground.
    void draw_height(const Vec3& at_m, const std::string& words, int badge) {
        const Vec2 at = drawing_.on_page(at_m);
        if (!drawing_.view.shows(at, 2.0)) return;
        const Vec2 foot = drawing_.on_page({Vec2(at_m), 0.0});
        drawing_.page.line(at, foot, {plan_ink, 0.7, "2 1.6"});
        drawing_.labels.keep_off({at, foot}, 2.0);
        drawing_.labels.add(at, {{words + tape_text(at_m.z)}, badge});
    }

    void draw_words() {
        const bool few = facts_.flights.size() <= most_named_flights;
        const NearestOfAll nearest = nearest_person(facts_);
        if (nearest.flight) drawing_.draw_nearest(nearest.nearest, plan_answer::person, "");
        drawing_.labels.add(
            drawing_.on_page(facts_.sight.lens_m),
            {{fmt::format("lens {}", tape_text(facts_.sight.lens_m.z)),
              fmt::format("tilt {}\u00b0", number_text(std::round(facts_.tilt_deg)))},
             0,
             false});
        for (std::size_t i = 0; i < facts_.flights.size(); ++i) {
            const PlannedFlight& flight = facts_.flights[i];
            if (!few) {
                drawing_.labels.add(drawing_.on_page(flight.start_m()), {{flight.tag}});
                continue;
            }
            draw_height(flight.start_m(), flight.tag + " start ", plan_answer::height);
            const auto by_height = [](const Vec3& place_m) { return place_m.z; };
            if (flight.highest_m - flight.start_m().z > 0.3)
                draw_height(*std::ranges::max_element(flight.way_m, {}, by_height),
                            flight.tag + " top ", plan_answer::height);
            if (flight.start_m().z - flight.lowest_m > 0.3)
                draw_height(*std::ranges::min_element(flight.way_m, {}, by_height),
                            flight.tag + " lowest ", plan_answer::height);
        }
        for (const PlannedSubject& subject : facts_.subjects)
            if (!is_landscape(subject, layout_, facts_.sight)) name(subject);
    }

    void name(const PlannedSubject& subject) {
        constexpr double widest = 100.0;
        const Vec3 at_m = subject.is_person ? subject.head_m : subject.box.middle_m();
        if (const Vec2 at = drawing_.on_page(at_m); drawing_.view.shows(at))
            drawing_.labels.add(at, {{fitted(subject.name, 8.0, widest)}, 0, false});
    }

    const PlanLayout& layout_;
    const PlanFacts& facts_;
    const PlacedShoot& shoot_;
    PlanDrawing drawing_;
};

}  // namespace

void draw_side(SvgPage& page, const PlanLayout& layout, const PlanFacts& facts,
               const PlacedShoot& shoot) {
    SideDrawing(page, layout, facts, shoot).draw();
}

}  // namespace lampflight
