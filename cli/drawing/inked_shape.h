// An inked shape: pieces that are laid on a canvas as one. Where they overlap, or their soft edges meet, a
// pixel is covered once, so that a curve of many pieces is as even as one of few, and a shade can be
// half transparent.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <span>
#include <string_view>
#include <utility>

#include "cli/drawing/canvas.h"

namespace lampflight {

/// Lengths are in pixels; what falls outside the picture is left out.
class InkedShape {
public:
    InkedShape(int width, int height) : width_(width), height_(height) {}

    /// Straight, with round ends.
    void line(const Vec2& from, const Vec2& to, double thickness);
    void line(std::span<const Vec2> places, double thickness);

    void disc(const Vec2& middle, double radius) { line(middle, middle, 2.0 * radius); }
    void ring(const Vec2& middle, double radius, double thickness);

    /// Filled; corners in either order. `grown` moves its sides outwards.
    void triangle(const std::array<Vec2, 3>& corners, double grown = 0.0);

    /// Text as `Canvas` has it; `grown` thickens its letters by so much all round.
    void text(const Vec2& foot, double size, std::string_view utf8, double grown = 0.0);

    void lay_on(Canvas& canvas, Colour8 colour, double opacity = 1.0) const;

private:
    static constexpr int side = 32;
    using Tile = std::array<std::uint8_t, side * side>;  ///< shares in 1/255

    template <class OutsidePx>
    void cover(const PixelBox& box, OutsidePx outside_px);
    void cover(int x, int y, double share);

    int width_;
    int height_;
    std::map<std::pair<int, int>, Tile> tiles_;  ///< by row and column
};

}  // namespace lampflight
