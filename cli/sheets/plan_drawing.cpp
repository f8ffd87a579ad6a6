#include "cli/sheets/plan_drawing.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "cli/sheets/plan_fix.h"

namespace lampflight {
namespace {

constexpr double fine = 0.6;          // points from corner to corner of a drawn line
constexpr double outline_cell = 0.5;  // points

}  // namespace

Pen flight_pen(std::size_t place) {
    struct Look {
        const char* colour;
        const char* dashes;
    };
    static constexpr std::array looks{Look{"#0b3d91", ""},           Look{"#a83c06", "8 3"},
                                      Look{"#17663a", "3 2.2"},      Look{"#6a1b7a", "10 3 2 3"},
                                      Look{"#444444", "1.4 2"},      Look{"#7d6200", "15 4"},
                                      Look{"#00616e", "6 2 2 2 2 2"}};
    const Look& look = looks[place % looks.size()];
    return {look.colour, 1.7, look.dashes};
}

NearestOfAll nearest_person(const PlanFacts& facts) {
    NearestOfAll best;
    const auto offer = [&](const PlannedFlight& flight, const PlanNearest& nearest) {
        if (!best.flight || nearest.apart_m < best.nearest.apart_m) best = {&flight, nearest};
    };
    for (const PlannedFlight& flight : facts.flights)
        if (flight.person) offer(flight, *flight.person);
    if (best.flight) return best;
    for (const PlannedFlight& flight : facts.flights) offer(flight, flight.camera);
    return best;
}

PlanDrawing::PlanDrawing(SvgPage& on, const PlanView& shown, OnDrawing on_page)
    : page(on), view(shown), labels(shown.room), on_page_(std::move(on_page)) {}

void PlanDrawing::draw_mesh(const Mesh& mesh, const PlannedSubject& subject,
                            const std::string& fill) {
    constexpr double least = 3.0;
    const double reach = view.points_of_m * glm::length(subject.box.high_m - subject.box.low_m);
    if (reach < least) {
        const Vec2 at = on_page(subject.foot_m);
        page.box(at - Vec2(1.5, 1.5), {3.0, 3.0}, plan_ink);
        return;
    }
    std::vector<Outline> outlines = outlines_of(mesh, on_page_, view.room, outline_cell);
    page.area(outlines, fill, {plan_ink, 0.7, ""});
    for (Outline& outline : outlines) {
        outline.push_back(outline.front());
        labels.keep_off(outline, 5.0);
    }
}

void PlanDrawing::draw_head(const PlannedSubject& person) {
    constexpr double head_radius_m = 0.12;
    page.dot(on_page(person.head_m), std::max(1.7, head_radius_m * view.points_of_m), plan_ink,
             {"#ffffff", 0.5, ""});
}

void PlanDrawing::draw_lamp(const Vec3& at_m) {
    const Vec2 at = on_page(at_m);
    if (!view.shows(at, 5.0)) return;
    constexpr double arm = 5.0;
    for (const Vec2& way : {Vec2(1.0, 0.0), Vec2(0.0, 1.0), Vec2(0.7, 0.7), Vec2(0.7, -0.7)})
        page.line(at - arm * way, at + arm * way, {plan_ink, 0.9, ""});
    page.dot(at, 2.0, "#ffffff", {plan_ink, 0.9, ""});
    labels.keep_clear(at, arm);
}

void PlanDrawing::draw_home(const Vec3& at_m) {
    const Vec2 at = on_page(at_m);
    if (!view.shows(at, 6.0)) return;
    constexpr double half = 5.0;
    page.box(at - Vec2(half), Vec2(2.0 * half), "#ffffff");
    page.outline(at - Vec2(half), Vec2(2.0 * half), {plan_ink, 1.1, ""});
    page.line(at - Vec2(half), at + Vec2(half), {plan_ink, 0.9, ""});
    page.line(at + Vec2(-half, half), at + Vec2(half, -half), {plan_ink, 0.9, ""});
    labels.keep_clear(at, half);
}

std::vector<Vec2> PlanDrawing::line_of(const std::vector<Vec3>& way_m) const {
    std::vector<Vec2> line;
    for (const Vec3& place_m : way_m) line.push_back(on_page(place_m));
    return spaced(line, fine);
}

void PlanDrawing::draw_straying(const PlannedFlight& flight) {
    const double width = 2.0 * flight.strays_m * view.points_of_m;
    if (width > 2.5)
        page.curve(line_of(flight.way_m), {"#e7e7e7", width, ""}, view.corner(), view.size());
}

void PlanDrawing::draw_way(const std::vector<Vec3>& way_m, const Pen& pen) {
    page.curve(line_of(way_m), pen, view.corner(), view.size());
}

std::vector<double> PlanDrawing::arrow_places(const std::vector<Vec2>& line) const {
    constexpr double every = 95.0, shortest = 14.0;
    const double length = length_of_line(line);
    if (length < shortest) return {};
    const int count = std::clamp(static_cast<int>(length / every), 1, 12);
    std::vector<double> places;
    for (int i = 0; i < count; ++i) places.push_back(length * (i + 0.4) / count);
    return places;
}

void PlanDrawing::draw_arrows(const std::vector<Vec2>& line, const Pen& pen) {
    for (const double way : arrow_places(line))
        if (const Vec2 at = along_line(line, way).first; view.shows(at, 3.0)) {
            draw_arrow_on(page, line, way, 1.0, pen);
            labels.keep_clear(at, 4.0);
        }
}

std::optional<Vec2> PlanDrawing::first_arrow(const PlannedFlight& flight) const {
    const std::vector<Vec2> line = line_of(flight.way_m);
    for (const double way : arrow_places(line))
        if (const Vec2 at = along_line(line, way).first; view.shows(at, 3.0)) return at;
    return std::nullopt;
}

void PlanDrawing::draw_flight(const PlannedFlight& flight, const Pen& pen) {
    const std::vector<Vec2> line = line_of(flight.way_m);
    page.curve(line, pen, view.corner(), view.size());
    labels.keep_off(line, 12.0);
    draw_arrows(line, pen);
    const Vec2 from = on_page(flight.start_m()), to = on_page(flight.end_m());
    if (!flight.ends_at_start() && view.shows(to, 3.0)) {
        page.box(to - Vec2(2.8), Vec2(5.6), pen.colour);
        labels.keep_clear(to, 3.0);
    }
    if (!view.shows(from, 3.0)) return;
    page.dot(from, 4.2, "#ffffff", {pen.colour, 1.6, ""});
    page.dot(from, 1.6, pen.colour, {pen.colour, 0.1, ""});
    labels.keep_clear(from, 4.6);
}

void PlanDrawing::draw_nearest(const PlanNearest& nearest, int badge, const std::string& of) {
    const Vec2 from = on_page(nearest.flight_m), to = on_page(nearest.other_m);
    if (!view.shows(from) && !view.shows(to)) return;
    page.begin_clip(view.corner(), view.size());
    const Pen pen{plan_ink, badge > 0 ? 1.2 : 0.7, badge > 0 ? "" : "2 1.6"};
    page.line(from, to, pen);
    if (const double length = glm::distance(from, to); length > 6.0) {
        const Vec2 way = (to - from) / length;
        const Vec2 across = 3.0 * Vec2(-way.y, way.x);
        page.line(from - across, from + across, pen);
        page.line(to - across, to + across, pen);
    }
    page.end_clip();
    labels.keep_off({from, to}, 4.0);
    const Vec2 middle = 0.5 * (from + to);
    if (view.shows(middle, 4.0))
        labels.add(middle,
                   {{of + tape_text(nearest.apart_m)}, badge, badge > 0, badge > 0 ? 9.0 : 8.0});
}

}  // namespace lampflight
