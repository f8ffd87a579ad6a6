// What guides are drawn with: a colour for each take, and a shade all round that parts them from
// bright ground as well as from dark.
#pragma once

#include <array>
#include <cstddef>
#include <map>
#include <span>
#include <string_view>

#include "cli/drawing/inked_shape.h"
#include "cli/sheets/overlay_sizes.h"

namespace lampflight {

/// Of a take by its place among those drawn; they repeat.
Colour8 guide_colour(std::size_t take);

/// For what belongs to no take.
constexpr Colour8 plain_ink{236, 236, 240};

/// Collects strokes and lays them on as one, all shade below all ink. Lengths are in pixels.
class GuideInk {
public:
    explicit GuideInk(const OverlaySizes& sizes)
        : sizes_(sizes), shade_(sizes.width, sizes.height) {}

    const OverlaySizes& sizes() const { return sizes_; }

    void line(Colour8 colour, std::span<const Vec2> places, double thickness);
    void line(Colour8 colour, const Vec2& from, const Vec2& to, double thickness) {
        const std::array<Vec2, 2> places{from, to};
        line(colour, places, thickness);
    }
    void disc(Colour8 colour, const Vec2& middle, double radius);
    void ring(Colour8 colour, const Vec2& middle, double radius, double thickness);
    void triangle(Colour8 colour, const std::array<Vec2, 3>& corners);
    void text(Colour8 colour, const Vec2& foot, double size, std::string_view utf8);

    void lay_on(Canvas& canvas, double opacity = 1.0) const;

private:
    InkedShape& of(Colour8 colour);

    OverlaySizes sizes_;
    InkedShape shade_;
    std::map<std::array<int, 3>, InkedShape> inks_;
};

/// A line of equal dashes, or with dashes of no length of dots, along places.
void draw_dashes(GuideInk& ink, Colour8 colour, std::span<const Vec2> places, double thickness,
                 double dash, double gap);

}  // namespace lampflight
