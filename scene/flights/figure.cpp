#include "scene/flights/figure.h"

#include <cmath>
#include <cstddef>
#include <vector>

#include "scene/basics/angle.h"
#include "scene/flights/stroke_order.h"

namespace lampflight {
namespace {

// Where the lamp goes out or on the drone stops: rounded off, a stroke would end in a hook.
constexpr double stroke_end_radius_m = 0.0;

/// From the drawing's units to the world.
class Laid {
public:
    Laid(const SvgDrawing& drawing, const FigurePlane& plane) {
        const FigureBox box = figure_box(drawing);
        const double metres_per_unit = plane.width_m / box.size().x;
        const double tilt_rad = radians(plane.tilt_deg);
        const Vec3 face = direction_of(radians(plane.facing_deg));
        const Vec3 up(0.0, 0.0, 1.0);
        const Vec3 right = direction_of(radians(plane.facing_deg - 90.0));
        const Vec3 top = std::cos(tilt_rad) * up - std::sin(tilt_rad) * face;
        const bool from_behind =
            glm::dot(glm::cross(right, top), plane.seen_from_m - plane.centre_m) < 0.0;
        centre_ = box.centre();
        centre_m_ = plane.centre_m;
        across_m_ = (from_behind != plane.mirrored ? -metres_per_unit : metres_per_unit) * right;
        down_m_ = -metres_per_unit * top;
    }

    Vec3 at_m(const Vec2& point) const {
        const Vec2 off = point - centre_;
        return centre_m_ + off.x * across_m_ + off.y * down_m_;
    }

private:
    Vec2 centre_{0.0};
    Vec3 centre_m_{0.0};
    Vec3 across_m_{0.0};  ///< of one unit to the right
    Vec3 down_m_{0.0};
};

}  // namespace

FigureBox figure_box(const SvgDrawing& drawing) {
    FigureBox box;
    for (const SvgStroke& stroke : drawing.strokes)
        for (const Vec2& point : stroke.points) box.include(point);
    return box;
}

Waypoints lay_figure(const SvgDrawing& drawing, const FigurePlane& plane, bool shortest_way) {
    const Laid laid(drawing, plane);
    Waypoints waypoints;
    const Vec2* ended = nullptr;
    for (const StrokeTurn& turn : shortest_way ? shortest_order(drawing) : order_of_file(drawing)) {
        const SvgStroke& stroke = drawing.strokes[turn.stroke];
        const std::vector<std::size_t> drawn = points_drawn(stroke, turn);
        const bool goes_on = ended != nullptr && *ended == stroke.points[drawn.front()];
        const bool comes_dark = ended != nullptr && !goes_on;
        if (comes_dark) {
            waypoints.back().lit = false;
            waypoints.back().corner_radius_m = stroke_end_radius_m;
        }
        for (std::size_t i = goes_on ? 1 : 0; i < drawn.size(); ++i) {
            Waypoint waypoint;
            waypoint.at_m = laid.at_m(stroke.points[drawn[i]]);
            const bool is_end = i == 0 || i + 1 == drawn.size();
            waypoint.through = !is_end && !stroke.corner[drawn[i]];
            if (i == 0 && comes_dark) waypoint.corner_radius_m = stroke_end_radius_m;
            waypoints.push_back(waypoint);
        }
        ended = &stroke.points[drawn.back()];
    }
    return waypoints;
}

}  // namespace lampflight
