#include "cli/sheets/plan_labels.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

constexpr double margin = 2.0;
constexpr double line_step = 1.2;     // sizes from line to line
constexpr double leader_from = 10.0;  // apart by which a label needs one
constexpr double badge_room = 2.0 * badge_radius + 2.5;
constexpr const char* ink = "#16181d";

Vec2 size_of(const PlanLabel& label) {
    double widest = 0.0;
    for (std::size_t i = 0; i < label.lines.size(); ++i)
        widest =
            std::max(widest, plan_text_width(label.lines[i], label.size, label.bold && i == 0));
    const double high = line_step * label.size * static_cast<double>(label.lines.size());
    if (label.badge == 0) return {widest + 2.0 * margin, high + margin};
    return {widest + badge_room + 2.0 * margin, std::max(high, 2.0 * badge_radius) + margin};
}

/// The point of a box that is nearest to another.
Vec2 edge_towards(const PixelBox& box, const Vec2& point) {
    return glm::clamp(point, Vec2(box.left, box.top),
                      Vec2(box.left + box.width, box.top + box.height));
}

bool holds(const PixelBox& box, const Vec2& point) {
    return point.x > box.left && point.x < box.left + box.width && point.y > box.top &&
           point.y < box.top + box.height;
}

}  // namespace

void draw_badge(SvgPage& page, const Vec2& centre, int number) {
    page.dot(centre, badge_radius, ink, {ink, 0.5, ""});
    page.text(centre + Vec2(0.0, 3.0), std::to_string(number),
              {8.5, "#ffffff", true, Anchor::middle});
}

void PlanLabels::keep_clear(const Vec2& centre, double radius) {
    taken_.push_back({centre.x - radius, centre.y - radius, 2.0 * radius, 2.0 * radius});
}

void PlanLabels::keep_off(const std::vector<Vec2>& line, double dearness) {
    constexpr double step = 5.0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        const int parts =
            std::clamp(static_cast<int>(glm::distance(line[i - 1], line[i]) / step), 1, 400);
        for (int part = 0; part < parts; ++part) {
            const Vec2 at = glm::mix(line[i - 1], line[i], 1.0 * part / parts);
            if (off_.empty() || glm::distance(off_.back().first, at) >= 0.8 * step)
                off_.emplace_back(at, dearness);
        }
    }
}

double PlanLabels::cost(const PixelBox& box, const Vec2& anchor, double apart) const {
    constexpr double never = std::numeric_limits<double>::infinity();
    if (box.left < room_.left + 1.0 || box.top < room_.top + 1.0 ||
        box.left + box.width > room_.left + room_.width - 1.0 ||
        box.top + box.height > room_.top + room_.height - 1.0)
        return never;
    for (const PixelBox& other : taken_)
        if (box.overlaps(other)) return never;
    double sum = apart;
    if (apart >= leader_from) {
        sum += leader_from;
        const Vec2 to = edge_towards(box, anchor);
        for (const Placed& other : placed_)
            for (int i = 0; i <= 8; ++i)
                if (holds(other.box, glm::mix(anchor, to, i / 8.0))) return never;
    }
    for (const Placed& other : placed_)
        if (other.apart)
            for (int i = 0; i <= 8; ++i)
                if (holds(box,
                          glm::mix(other.anchor, edge_towards(other.box, other.anchor), i / 8.0)))
                    return never;
    for (const auto& point : off_)
        if (holds(box, point.first)) sum += point.second;
    return sum;
}

bool PlanLabels::add(const Vec2& anchor, const PlanLabel& label) {
    constexpr std::array aparts{5.0, 9.0, 15.0, 24.0, 36.0, 52.0, 72.0, 96.0, 130.0};
    constexpr int directions = 16;
    const Vec2 size = size_of(label);
    double least = std::numeric_limits<double>::infinity();
    Placed best;
    for (const double apart : aparts)
        for (int i = 0; i < directions; ++i) {
            const double angle_rad = 2.0 * pi * i / directions;
            const Vec2 way(std::cos(angle_rad), std::sin(angle_rad));
            const Vec2 middle = anchor + apart * way + 0.5 * way * size;
            const PixelBox box{middle.x - 0.5 * size.x, middle.y - 0.5 * size.y, size.x, size.y};
            const double bad = cost(box, anchor, apart);
            if (bad >= least) continue;
            least = bad;
            best = {label, box, anchor, apart >= leader_from};
        }
    if (!std::isfinite(least)) return false;
    taken_.push_back(best.box);
    placed_.push_back(best);
    return true;
}

void PlanLabels::draw(SvgPage& page) const {
    for (const Placed& placed : placed_)
        if (placed.apart)
            page.line(placed.anchor, edge_towards(placed.box, placed.anchor), {ink, 0.5, ""});
    for (const Placed& placed : placed_) {
        const PixelBox& box = placed.box;
        page.box({box.left, box.top}, {box.width, box.height}, "#ffffff", 0.86);
        double left = box.left + margin;
        if (placed.label.badge > 0) {
            draw_badge(page, {left + badge_radius, box.top + 0.5 * box.height}, placed.label.badge);
            left += badge_room;
        }
        const double step = line_step * placed.label.size;
        const double high = step * static_cast<double>(placed.label.lines.size());
        double foot = box.top + 0.5 * (box.height - high) + 0.82 * step;
        for (std::size_t i = 0; i < placed.label.lines.size(); ++i, foot += step)
            page.text({left, foot}, placed.label.lines[i],
                      {placed.label.size, ink, placed.label.bold && i == 0});
    }
}

}  // namespace lampflight
