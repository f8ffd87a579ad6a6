#include "renderer/trails/strip_parts.h"

#include <algorithm>
#include <cmath>

#include "scene/camera/trail_width.h"

namespace lampflight {
namespace {

// From 2 m off, parts of this length lay what the whole strip does to 0.1 %: the rule of middles
// errs by (length / distance)^2 / 24 of the light's second derivative.
constexpr double lit_part_m = 0.4;
constexpr int most_lit_parts = 16;

constexpr double apart_px = 0.5;     // of the trail film's parts
constexpr double apart_width = 0.3;  // of the line's width
constexpr int most_drawn_parts = 4096;
constexpr int instants = 64;

}  // namespace

int lit_parts(const LitLamp& lit) {
    const double parts = std::ceil(lit.lamp->hang_m / lit_part_m);
    return static_cast<int>(std::clamp(parts, 1.0, 1.0 * most_lit_parts));
}

int drawn_parts(const Camera& camera, const ExposureSettings& settings, const LitLamp& lit,
                int film_side) {
    if (!(lit.lamp->hang_m > 0.0)) return 1;
    const Projection projection(camera);
    double parts = 1.0;
    for (const TimeWindow& window : lit.lit)
        for (int i = 0; i <= instants; ++i) {
            const double time_s = std::lerp(window.from_s, window.to_s, 1.0 * i / instants);
            const Vec3 top_m = lit.position_m(time_s, 0.0);
            const auto top_px = projection.film_px(top_m);
            const auto low_px = projection.film_px(lit.position_m(time_s, 1.0));
            if (!top_px || !low_px) continue;
            const double width_px = trail_width_mm(camera, settings.f_number,
                                                   lit.lamp->face_mm / 1000.0,
                                                   projection.depth_m(top_m)) /
                                    pixel_pitch_mm(camera).x;
            const double apart = std::max(apart_px / film_side, apart_width * width_px);
            parts = std::max(parts, std::ceil(glm::distance(*top_px, *low_px) / apart));
        }
    return static_cast<int>(std::min(parts, 1.0 * most_drawn_parts));
}

}  // namespace lampflight
