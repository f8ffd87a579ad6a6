#include "cli/sheets/guide_frame.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "scene/basics/angle.h"

namespace lampflight {

void draw_thirds(Canvas& canvas, const OverlaySizes& sizes) {
    constexpr double shade_opacity = 0.22, ink_opacity = 0.36;
    InkedShape shade(sizes.width, sizes.height), ink(sizes.width, sizes.height);
    const auto draw = [&](const Vec2& from, const Vec2& to) {
        shade.line(from, to, 1.9 * sizes.hair);
        ink.line(from, to, 0.7 * sizes.hair);
    };
    const double width = sizes.width, height = sizes.height;
    for (const double third : {1.0 / 3.0, 2.0 / 3.0}) {
        draw({third * width, 0.0}, {third * width, height});
        draw({0.0, third * height}, {width, third * height});
    }
    shade.lay_on(canvas, {0, 0, 0}, shade_opacity);
    ink.lay_on(canvas, {255, 255, 255}, ink_opacity);
}

std::vector<std::vector<Vec2>> horizon_places(const Camera& camera) {
    // As far off as makes the lens's own height nothing, and a sixth of a degree from each to the
    // next.
    constexpr double far_m = 1e7;
    constexpr int count = 2160;
    const Projection projection(camera);
    const Vec3 forward = axes_of(camera).forward;
    const double middle_rad = std::atan2(forward.x, forward.y);
    std::vector<std::vector<Vec2>> pieces;
    bool going_on = false;
    for (int i = 0; i <= count; ++i) {
        const double bearing_rad = middle_rad + 2.0 * pi * i / count - pi;
        const Vec3 level{std::sin(bearing_rad), std::cos(bearing_rad), 0.0};
        const auto place = projection.film_px(projection.position_m() + far_m * level);
        const bool shown = place && in_frame(camera, *place);
        if (shown && !going_on) pieces.emplace_back();
        if (shown) pieces.back().push_back(*place);
        going_on = shown;
    }
    for (std::vector<Vec2>& piece : pieces)
        if (piece.back().x < piece.front().x) std::ranges::reverse(piece);
    return pieces;
}

void draw_horizon(Canvas& canvas, const OverlaySizes& sizes,
                  const std::vector<std::vector<Vec2>>& places) {
    constexpr double opacity = 0.6;
    GuideInk ink(sizes);
    for (const std::vector<Vec2>& piece : places)
        draw_dashes(ink, plain_ink, piece, 0.8 * sizes.hair, 0.9 * sizes.letter,
                    0.45 * sizes.letter);
    ink.lay_on(canvas, opacity);
}

}  // namespace lampflight
