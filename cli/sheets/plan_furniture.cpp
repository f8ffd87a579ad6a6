#include "cli/sheets/plan_furniture.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "cli/reports/quantity_text.h"
#include "cli/sheets/plan_fix.h"
#include "scene/basics/angle.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

constexpr double arrow_arm = 24.0;

/// Where a bearing points on the plan: x rightwards, y down.
Vec2 on_plan(const SightLine& sight, double bearing_rad) {
    const Vec3 way = direction_of(bearing_rad);
    const Vec2 placed = sight.from_above(sight.lens_m + way);
    return {placed.x, -placed.y};
}

void draw_arrow(SvgPage& page, const Vec2& from, const Vec2& to, const Pen& pen) {
    const Vec2 way = glm::normalize(to - from), across(-way.y, way.x);
    page.line(from, to - 6.0 * way, pen);
    page.area({{to, to - 9.0 * way + 3.6 * across, to - 9.0 * way - 3.6 * across}}, pen.colour,
              {pen.colour, 0.3, ""});
}

}  // namespace

void draw_grid(PlanDrawing& drawing, double grid_m) {
    const PlanView& view = drawing.view;
    const Vec2 half = 0.5 * view.size() / view.points_of_m;
    const Vec2 low = view.middle_m - half, high = view.middle_m + half;
    const auto pen = [](int line) {
        return Pen{plan_rule, line == 0 ? 0.9 : 0.4, line == 0 ? "" : "1 2"};
    };
    for (int i = static_cast<int>(std::ceil(low.x / grid_m)); i * grid_m <= high.x; ++i) {
        const double x = view.on_page({i * grid_m, 0.0}).x;
        drawing.page.line({x, view.room.top}, {x, view.room.top + view.room.height}, pen(i));
    }
    for (int i = static_cast<int>(std::ceil(low.y / grid_m)); i * grid_m <= high.y; ++i) {
        const double y = view.on_page({0.0, i * grid_m}).y;
        drawing.page.line({view.room.left, y}, {view.room.left + view.room.width, y}, pen(i));
    }
}

double scale_bar_m(const PlanLayout& layout) {
    constexpr double shortest = 70.0;  // points
    return round_length_m(shortest / layout.points_of_m());
}

void draw_scale_bar(PlanDrawing& drawing, const PlanLayout& layout) {
    constexpr double inset = 8.0, height = 4.5, room = 30.0;
    const PixelBox& box = drawing.view.room;
    const double length_m = scale_bar_m(layout), length = length_m * layout.points_of_m();
    const Vec2 corner(box.left + inset + 4.0, box.top + box.height - inset - height);
    const double width = length + 46.0;
    const PixelBox taken{box.left + 2.0, corner.y - room + height, width, room + inset - 2.0};
    drawing.labels.keep_clear(taken);
    drawing.page.box(corner, {0.5 * length, height}, plan_ink);
    drawing.page.outline(corner, {length, height}, {plan_ink, 0.8, ""});
    drawing.page.text(corner + Vec2(0.0, -3.0), "0", {8.0, plan_ink, false, Anchor::middle});
    drawing.page.text(corner + Vec2(length, -3.0), number_text(length_m) + " m",
                      {8.0, plan_ink, false, Anchor::middle});
    drawing.page.text(
        corner + Vec2(-4.0, -13.5),
        fmt::format("1 : {} on A4", number_text(std::round(layout.scale * 100.0) / 100.0)),
        {8.0, plan_ink, true});
}

void draw_north(PlanDrawing& drawing, const SightLine& sight, const Shoot& shoot) {
    const PixelBox& box = drawing.view.room;
    const bool windy = shoot.air.wind_m_s > 0.0;
    const bool magnetic = shoot.place && shoot.place->declination_deg;
    const double room = 2.0 * arrow_arm + 26.0;
    const double high = room + (magnetic ? 22.0 : 12.0) + (windy ? 52.0 : 0.0);
    const double wide = std::max(room, magnetic ? 132.0 : windy ? 112.0 : room);
    const PixelBox taken{box.left + box.width - wide - 2.0, box.top + 2.0, wide, high};
    drawing.labels.keep_clear(taken);
    const Vec2 middle(taken.left + 0.5 * wide, taken.top + 0.5 * room);
    const Vec2 north = on_plan(sight, 0.0);
    SvgPage& page = drawing.page;
    if (magnetic) {
        const Vec2 way = on_plan(sight, radians(*shoot.place->declination_deg));
        page.line(middle - arrow_arm * way, middle + arrow_arm * way, {plan_ink, 0.8, "3 2"});
    }
    draw_arrow(page, middle - arrow_arm * north, middle + arrow_arm * north, {plan_ink, 1.6, ""});
    page.text(middle + (arrow_arm + 7.0) * north + Vec2(0.0, 3.6), "N",
              {10.0, plan_ink, true, Anchor::middle});
    double foot = taken.top + room + 6.0;
    const auto say = [&](const std::string& words) {
        page.text({middle.x, foot}, words, {8.0, plan_ink, false, Anchor::middle});
        foot += 10.0;
    };
    say(shoot.place ? "true north" : "the scene's north");
    if (magnetic) {
        const double east_deg = *shoot.place->declination_deg;
        say(fmt::format("dashed: magnetic, {}\u00b0 {}", decimal_text(std::abs(east_deg), 1),
                        east_deg < 0.0 ? "W" : "E"));
    }
    if (!windy) return;
    const Vec2 from = on_plan(sight, radians(shoot.air.wind_from_deg));
    const Vec2 centre(middle.x, foot + 12.0);
    for (const double aside : {-4.0, 4.0}) {
        const Vec2 by = aside * Vec2(-from.y, from.x);
        draw_arrow(page, centre + by + 12.0 * from, centre + by - 12.0 * from, {plan_ink, 0.9, ""});
    }
    foot += 33.0;
    say(fmt::format("wind {} m/s from {}", number_text(shoot.air.wind_m_s),
                    bearing_text(shoot.air.wind_from_deg)));
}

void draw_wedge(PlanDrawing& drawing, const Vec2& lens, double middle_rad, double half_rad) {
    const PlanView& view = drawing.view;
    const double far = 2.0 * (view.room.width + view.room.height) + glm::length(lens);
    const auto towards = [&](double angle_rad) {
        return lens + far * Vec2(std::cos(angle_rad), -std::sin(angle_rad));
    };
    std::vector<Vec2> wedge{lens};
    constexpr int steps = 24;
    for (int i = 0; i <= steps; ++i)
        wedge.push_back(towards(middle_rad + half_rad * (2.0 * i / steps - 1.0)));
    SvgPage& page = drawing.page;
    page.begin_clip(view.corner(), view.size());
    page.area({wedge}, "#f3f0e4", {"none", 0.0, ""});
    for (const double side : {-1.0, 1.0})
        page.line(lens, towards(middle_rad + side * half_rad), {plan_ink, 0.7, "7 2.5"});
    page.line(lens, towards(middle_rad), {plan_faint, 0.6, "9 2 1.5 2"});
    page.end_clip();
}

}  // namespace lampflight
