#include "cli/sheets/plan_seen.h"

#include <algorithm>
#include <limits>
#include <optional>

#include "cli/sheets/plan_drawing.h"

namespace lampflight {
namespace {

/// The longest part of a line without gaps.
std::vector<Vec2> longest_part(const std::vector<std::optional<Vec2>>& line) {
    std::vector<Vec2> longest, part;
    for (const std::optional<Vec2>& place : line) {
        if (place)
            part.push_back(*place);
        else
            part.clear();
        if (part.size() > longest.size()) longest = part;
    }
    return longest;
}

}  // namespace

void draw_seen(SvgPage& page, const PixelBox& room, const PlanFacts& facts, const Camera& camera) {
    constexpr double inset = 6.0, fine = 0.4, arrow = 0.8;
    const Projection projection(camera);
    std::vector<std::vector<Vec2>> lines;
    Vec2 low(std::numeric_limits<double>::infinity()), high(-low);
    for (const PlannedFlight& flight : facts.flights) {
        std::vector<std::optional<Vec2>> seen;
        for (const Vec3& place_m : flight.way_m) seen.push_back(projection.film_px(place_m));
        lines.push_back(longest_part(seen));
        for (const Vec2& at : lines.back()) {
            low = glm::min(low, at);
            high = glm::max(high, at);
        }
    }
    if (!(low.x <= high.x)) return;  // all behind the camera
    const Vec2 size = glm::max(high - low, Vec2(1.0));
    const double points = std::min((room.width - 2.0 * inset) / size.x,
                                   (room.height - 2.0 * inset - plan_letter) / size.y);
    const Vec2 corner(room.left, room.top);
    const Vec2 middle = corner + 0.5 * Vec2(room.width, room.height - plan_letter);
    for (std::size_t i = 0; i < lines.size(); ++i) {
        if (lines[i].empty()) continue;
        for (Vec2& at : lines[i]) at = middle + points * (at - 0.5 * (low + high));
        Pen pen = flight_pen(i);
        pen.width = 1.2;
        const std::vector<Vec2> line = spaced(lines[i], fine);
        page.curve(line, pen, corner, {room.width, room.height});
        const double length = length_of_line(line);
        for (const double share : {0.2, 0.65})
            draw_arrow_on(page, line, share * length, arrow, pen);
        page.dot(line.front(), 2.2, "#ffffff", {pen.colour, 1.2, ""});
    }
    page.text({middle.x, room.top + room.height - 1.0}, "as you see it",
              {plan_letter, plan_ink, false, Anchor::middle});
}

}  // namespace lampflight
