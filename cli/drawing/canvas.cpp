#include "cli/drawing/canvas.h"

#include <algorithm>
#include <cmath>

#include "cli/drawing/letters.h"
#include "cli/drawing/line_distance.h"

namespace lampflight {
namespace {

template <class Code>
Code mixed(Code under, double over, double share) {
    return static_cast<Code>(std::lround(std::lerp(static_cast<double>(under), over, share)));
}

template <class Code>
void set_codes(Code* codes, Colour8 colour, int step) {
    codes[0] = static_cast<Code>(colour.r * step);
    codes[1] = static_cast<Code>(colour.g * step);
    codes[2] = static_cast<Code>(colour.b * step);
}

template <class Code>
void cover_codes(Code* codes, Colour8 colour, double share, int step) {
    codes[0] = mixed(codes[0], colour.r * step, share);
    codes[1] = mixed(codes[1], colour.g * step, share);
    codes[2] = mixed(codes[2], colour.b * step, share);
}

constexpr int step16 = 65535 / 255;  // of codes of 16 bits in one of 8

}  // namespace

Canvas::Canvas(int width, int height, Colour8 ground) : width_(width), height_(height) {
    own_codes_.resize(3 * static_cast<std::size_t>(width) * static_cast<std::size_t>(height));
    for (int y = 0; y < height; ++y)
        for (int x = 0; x < width; ++x) set(x, y, ground);
}

Canvas::Canvas(int width, int height, std::span<std::uint8_t> codes)
    : width_(width), height_(height), lent_codes_(codes) {}

Canvas::Canvas(int width, int height, std::span<std::uint16_t> codes)
    : width_(width), height_(height), lent_codes16_(codes) {}

void Canvas::set(int x, int y, Colour8 colour) {
    if (!is_inside(x, y)) return;
    if (lent_codes16_.empty())
        set_codes(codes8() + place(x, y), colour, 1);
    else
        set_codes(lent_codes16_.data() + place(x, y), colour, step16);
}

void Canvas::cover(int x, int y, Colour8 colour, double share) {
    if (!is_inside(x, y)) return;
    const double part = std::clamp(share, 0.0, 1.0);
    if (lent_codes16_.empty())
        cover_codes(codes8() + place(x, y), colour, part, 1);
    else
        cover_codes(lent_codes16_.data() + place(x, y), colour, part, step16);
}

template <class OutsidePx>
void Canvas::draw(const PixelBox& box, Colour8 colour, OutsidePx outside_px) {
    const int left = std::max(0, static_cast<int>(std::floor(box.left)));
    const int top = std::max(0, static_cast<int>(std::floor(box.top)));
    const int right = std::min(width_, static_cast<int>(std::ceil(box.left + box.width)) + 1);
    const int bottom = std::min(height_, static_cast<int>(std::ceil(box.top + box.height)) + 1);
    for (int y = top; y < bottom; ++y)
        for (int x = left; x < right; ++x) {
            const double share = 0.5 - outside_px(Vec2(x + 0.5, y + 0.5));
            if (share > 0.0) cover(x, y, colour, share);
        }
}

void Canvas::fill(const PixelBox& box, Colour8 colour, double share) {
    const int right = static_cast<int>(std::lround(box.left + box.width));
    const int bottom = static_cast<int>(std::lround(box.top + box.height));
    for (int y = static_cast<int>(std::lround(box.top)); y < bottom; ++y)
        for (int x = static_cast<int>(std::lround(box.left)); x < right; ++x)
            cover(x, y, colour, share);
}

void Canvas::line(const Vec2& from, const Vec2& to, double thickness, Colour8 colour) {
    const Vec2 low = glm::min(from, to) - thickness;
    const Vec2 size = glm::abs(to - from) + 2.0 * thickness;
    draw({low.x, low.y, size.x, size.y}, colour,
         [&](const Vec2& place) { return line_distance(place, from, to) - 0.5 * thickness; });
}

void Canvas::ring(const Vec2& middle, double radius, double thickness, Colour8 colour) {
    const double reach = radius + thickness;
    draw({middle.x - reach, middle.y - reach, 2.0 * reach, 2.0 * reach}, colour,
         [&](const Vec2& place) {
             return std::abs(glm::length(place - middle) - radius) - 0.5 * thickness;
         });
}

void Canvas::text(const Vec2& foot, double size, Colour8 colour, std::string_view utf8) {
    draw_letters(foot, size, utf8, [&](int x, int y, double share) { cover(x, y, colour, share); });
}

double text_width(double size, std::string_view utf8) {
    return letters_width(size, utf8);
}

}  // namespace lampflight
