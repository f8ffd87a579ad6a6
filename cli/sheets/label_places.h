// Places for labels on a picture, where they meet neither each other nor what they must not hide.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "cli/drawing/canvas.h"

namespace lampflight {

/// Lengths are in pixels; `letter` is the height of text.
class LabelPlaces {
public:
    LabelPlaces(double width, double height, double letter)
        : width_(width), height_(height), letter_(letter) {}

    /// Nothing may stand here.
    void keep_free(const PixelBox& box) { taken_.push_back(box); }

    /// Nothing should stand here as long as there is room elsewhere.
    void spare(const PixelBox& box) { spared_.push_back(box); }

    /// A place for a box of some size beside a mark: `first`, moved into the picture, or further
    /// off, with nothing in the way to it. Kept free from then on; nothing where there is no room
    /// within twelve letters.
    std::optional<PixelBox> place(const Vec2& mark, const PixelBox& first);

    /// The first of some boxes that lies in the picture and hides nothing. Kept free from then on.
    std::optional<PixelBox> first_free(std::span<const PixelBox> boxes);

    PixelBox moved_inside(PixelBox box) const;

private:
    bool is_inside(const PixelBox& box) const;
    bool is_free(const PixelBox& box, bool sparing) const;
    std::optional<PixelBox> found(const Vec2& mark, const PixelBox& first, bool sparing) const;

    double width_;
    double height_;
    double letter_;
    std::vector<PixelBox> taken_;
    std::vector<PixelBox> spared_;
};

/// The place of a box's rim, or in it, that is nearest to a mark.
Vec2 nearest(const PixelBox& box, const Vec2& mark);

inline PixelBox box_around(const Vec2& middle, double half) {
    return {middle.x - half, middle.y - half, 2.0 * half, 2.0 * half};
}

}  // namespace lampflight
