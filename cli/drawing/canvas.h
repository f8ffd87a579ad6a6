// A picture to draw on: sRGB of 8 or 16 bits with lines, discs and text, all with soft edges.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

#include "scene/basics/vector.h"

namespace lampflight {

struct Colour8 {
    std::uint8_t r, g, b;
};

/// Sides run along the picture's; from the upper left corner.
struct PixelBox {
    double left, top, width, height;

    bool overlaps(const PixelBox& other) const {
        return left < other.left + other.width && other.left < left + width &&
               top < other.top + other.height && other.top < top + height;
    }
};

/// Lengths are in pixels. What falls outside is left out.
class Canvas {
public:
    Canvas(int width, int height, Colour8 ground);

    /// Draws on a picture that another keeps: three codes a pixel, rows from the top.
    Canvas(int width, int height, std::span<std::uint8_t> codes);
    Canvas(int width, int height, std::span<std::uint16_t> codes);

    int width() const { return width_; }
    int height() const { return height_; }
    /// As `develop_srgb8` has it; of a canvas with a ground of its own.
    const std::vector<std::uint8_t>& codes() const { return own_codes_; }

    void set(int x, int y, Colour8 colour);

    /// Lays a colour over a pixel that it covers in part, 0 to 1.
    void cover(int x, int y, Colour8 colour, double share);

    void fill(const PixelBox& box, Colour8 colour, double share = 1.0);

    /// Straight, with round ends.
    void line(const Vec2& from, const Vec2& to, double thickness, Colour8 colour);

    void ring(const Vec2& middle, double radius, double thickness, Colour8 colour);

    /// Text in UTF-8 whose line stands at `foot`, where letters begin; `size` is the height from
    /// the highest letter to the lowest.
    void text(const Vec2& foot, double size, Colour8 colour, std::string_view utf8);

private:
    /// Covers the pixels within a box by one minus how far outside a shape their middles lie.
    template <class OutsidePx>
    void draw(const PixelBox& box, Colour8 colour, OutsidePx outside_px);

    bool is_inside(int x, int y) const { return x >= 0 && y >= 0 && x < width_ && y < height_; }
    std::size_t place(int x, int y) const {
        return 3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(width_) +
                    static_cast<std::size_t>(x));
    }

    std::uint8_t* codes8() { return lent_codes_.empty() ? own_codes_.data() : lent_codes_.data(); }

    int width_;
    int height_;
    std::vector<std::uint8_t> own_codes_;
    std::span<std::uint8_t> lent_codes_;  ///< at most one of these
    std::span<std::uint16_t> lent_codes16_;
};

/// Width of a text in pixels.
double text_width(double size, std::string_view utf8);

}  // namespace lampflight
