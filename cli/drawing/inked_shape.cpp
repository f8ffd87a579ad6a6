#include "cli/drawing/inked_shape.h"

#include <algorithm>
#include <cmath>

#include "cli/drawing/letters.h"
#include "cli/drawing/line_distance.h"
#include "scene/basics/angle.h"

namespace lampflight {
namespace {

/// Side of a line on which a place lies, as a distance: plus to its right, as y runs downwards.
double beside(const Vec2& place, const Vec2& from, const Vec2& to) {
    const Vec2 along = to - from;
    const Vec2 apart = place - from;
    return (along.x * apart.y - along.y * apart.x) / std::max(1e-9, glm::length(along));
}

}  // namespace

void InkedShape::cover(int x, int y, double share) {
    if (x < 0 || y < 0 || x >= width_ || y >= height_) return;
    Tile& tile = tiles_[{y / side, x / side}];
    std::uint8_t& code = tile[static_cast<std::size_t>((y % side) * side + x % side)];
    code = std::max(code, static_cast<std::uint8_t>(std::lround(255.0 * std::min(1.0, share))));
}

template <class OutsidePx>
void InkedShape::cover(const PixelBox& box, OutsidePx outside_px) {
    // Compared as numbers with a fraction: a place may lie far beyond what whole ones hold.
    const int left = static_cast<int>(std::clamp(std::floor(box.left), 0.0, double(width_)));
    const int top = static_cast<int>(std::clamp(std::floor(box.top), 0.0, double(height_)));
    const int right =
        static_cast<int>(std::clamp(std::ceil(box.left + box.width) + 1.0, 0.0, double(width_)));
    const int bottom =
        static_cast<int>(std::clamp(std::ceil(box.top + box.height) + 1.0, 0.0, double(height_)));
    for (int y = top; y < bottom; ++y)
        for (int x = left; x < right; ++x) {
            const double share = 0.5 - outside_px(Vec2(x + 0.5, y + 0.5));
            if (share > 0.0) cover(x, y, share);
        }
}

void InkedShape::line(const Vec2& from, const Vec2& to, double thickness) {
    const Vec2 low = glm::min(from, to) - 0.5 * thickness - 1.0;
    const Vec2 size = glm::abs(to - from) + thickness + 2.0;
    cover({low.x, low.y, size.x, size.y}, [&](const Vec2& place) {
        return line_distance(place, from, to) - 0.5 * thickness;
    });
}

void InkedShape::line(std::span<const Vec2> places, double thickness) {
    for (std::size_t i = 1; i < places.size(); ++i) line(places[i - 1], places[i], thickness);
}

void InkedShape::ring(const Vec2& middle, double radius, double thickness) {
    const double reach = radius + 0.5 * thickness + 1.0;
    cover({middle.x - reach, middle.y - reach, 2.0 * reach, 2.0 * reach}, [&](const Vec2& place) {
        return std::abs(glm::length(place - middle) - radius) - 0.5 * thickness;
    });
}

void InkedShape::triangle(const std::array<Vec2, 3>& corners, double grown) {
    const Vec2 low = glm::min(corners[0], glm::min(corners[1], corners[2])) - grown - 1.0;
    const Vec2 high = glm::max(corners[0], glm::max(corners[1], corners[2])) + grown + 1.0;
    const double way = beside(corners[2], corners[0], corners[1]) > 0.0 ? -1.0 : 1.0;
    cover({low.x, low.y, high.x - low.x, high.y - low.y}, [&](const Vec2& place) {
        return std::max({way * beside(place, corners[0], corners[1]),
                         way * beside(place, corners[1], corners[2]),
                         way * beside(place, corners[2], corners[0])}) -
               grown;
    });
}

void InkedShape::text(const Vec2& foot, double size, std::string_view utf8, double grown) {
    const auto add = [&](int x, int y, double share) { cover(x, y, share); };
    draw_letters(foot, size, utf8, add);
    if (!(grown > 0.0)) return;
    constexpr int ways = 20;
    for (int i = 0; i < ways; ++i) {
        const double angle = 2.0 * pi * i / ways;
        draw_letters(foot + grown * Vec2(std::cos(angle), std::sin(angle)), size, utf8, add);
    }
}

void InkedShape::lay_on(Canvas& canvas, Colour8 colour, double opacity) const {
    for (const auto& [corner, tile] : tiles_)
        for (int i = 0; i < side * side; ++i)
            if (const std::uint8_t share = tile[static_cast<std::size_t>(i)]; share > 0)
                canvas.cover(corner.second * side + i % side, corner.first * side + i / side,
                             colour, opacity * share / 255.0);
}

}  // namespace lampflight
