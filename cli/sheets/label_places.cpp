#include "cli/sheets/label_places.h"

#include <algorithm>
#include <array>

namespace lampflight {
namespace {

constexpr std::array<Vec2, 8> ways{
    {{1, 0}, {-1, 0}, {0, -1}, {0, 1}, {0.7, -0.9}, {-0.7, -0.9}, {0.7, 0.9}, {-0.7, 0.9}}};

bool is_clear_of(const std::vector<PixelBox>& others, const PixelBox& box) {
    return std::ranges::none_of(others, [&](const PixelBox& other) { return box.overlaps(other); });
}

/// Whether the straight way from a mark to its label passes through none of some boxes but those
/// about the mark.
bool is_clear_way(const std::vector<PixelBox>& others, const Vec2& mark, const Vec2& end) {
    constexpr int places = 24;
    for (const PixelBox& other : others) {
        if (other.overlaps({mark.x, mark.y, 1e-6, 1e-6})) continue;
        for (int i = 1; i < places; ++i) {
            const Vec2 place = mark + (end - mark) * (static_cast<double>(i) / places);
            if (other.overlaps({place.x, place.y, 1e-6, 1e-6})) return false;
        }
    }
    return true;
}

}  // namespace

std::optional<PixelBox> LabelPlaces::place(const Vec2& mark, const PixelBox& first) {
    auto box = found(mark, first, true);
    if (!box && !spared_.empty()) box = found(mark, first, false);
    if (box) taken_.push_back(*box);
    return box;
}

std::optional<PixelBox> LabelPlaces::found(const Vec2& mark, const PixelBox& first,
                                           bool sparing) const {
    constexpr double farthest = 12.0, step = 0.6;
    if (const PixelBox box = moved_inside(first); is_free(box, sparing)) return box;
    for (double far = 1.2; far < farthest; far += step)
        for (const Vec2& way : ways) {
            const Vec2 middle = mark + Vec2(way.x * (far * letter_ + 0.5 * first.width),
                                            way.y * (far * letter_ + 0.5 * first.height));
            const PixelBox box{middle.x - 0.5 * first.width, middle.y - 0.5 * first.height,
                               first.width, first.height};
            if (is_inside(box) && is_free(box, sparing) &&
                is_clear_way(taken_, mark, nearest(box, mark)))
                return box;
        }
    return std::nullopt;
}

std::optional<PixelBox> LabelPlaces::first_free(std::span<const PixelBox> boxes) {
    for (const PixelBox& box : boxes) {
        if (!is_inside(box) || !is_free(box, true)) continue;
        taken_.push_back(box);
        return box;
    }
    return std::nullopt;
}

PixelBox LabelPlaces::moved_inside(PixelBox box) const {
    box.left = std::max(0.0, std::min(box.left, width_ - box.width));
    box.top = std::max(0.0, std::min(box.top, height_ - box.height));
    return box;
}

bool LabelPlaces::is_inside(const PixelBox& box) const {
    return box.left >= 0.0 && box.top >= 0.0 && box.left + box.width <= width_ &&
           box.top + box.height <= height_;
}

bool LabelPlaces::is_free(const PixelBox& box, bool sparing) const {
    return is_clear_of(taken_, box) && (!sparing || is_clear_of(spared_, box));
}

Vec2 nearest(const PixelBox& box, const Vec2& mark) {
    return {std::clamp(mark.x, box.left, box.left + box.width),
            std::clamp(mark.y, box.top, box.top + box.height)};
}

}  // namespace lampflight
