#include "cli/sheets/overlay_marks.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include <fmt/format.h>

#include "cli/reports/quantity_text.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

constexpr Colour8 ink{255, 255, 255};
constexpr Colour8 shade{0, 0, 0};
constexpr std::size_t longest_name = 40;

struct Mark {
    Vec2 place;
    bool is_trail;
    std::string words;
};

/// With a minus sign, which is wider than a hyphen.
std::string signed_stops(double stops) {
    const std::string text = stops_text(stops);
    return text.front() == '-' ? fmt::format("−{}", text.substr(1)) : text;
}

std::string trail_words(const std::string& lamp, const TrailReading& trail) {
    std::string words =
        fmt::format("{} trail: {} stops over clipping", printable(lamp, longest_name),
                    signed_stops(trail.stops_over_saturation));
    if (trail.stops_over_saturation < 0.0)
        words = fmt::format("{} trail: {} stops under clipping", printable(lamp, longest_name),
                            decimal_text(-trail.stops_over_saturation, 1));
    if (trail.width_seen_px && *trail.width_seen_px > 0.0)
        words += fmt::format(", line width {} px", decimal_text(*trail.width_seen_px, 1));
    return words;
}

std::vector<Mark> marks_of(const OverlaySizes& sizes, const MeterReading& reading) {
    std::vector<Mark> marks;
    const double scale = sizes.enlarged;
    for (const PointReading& point : reading.points)
        if (point.in_frame)
            marks.push_back(
                {scale * point.place_px, false,
                 fmt::format("{} {}{}", printable(point.name, longest_name),
                             signed_stops(point.picture_stops), point.hidden ? " (hidden)" : "")});
    for (const auto& [lamp, trail] : reading.trail)
        marks.push_back({scale * trail.peak_px, true, trail_words(lamp, trail)});
    return marks;
}

PixelBox box_around(const Vec2& middle, double half) {
    return {middle.x - half, middle.y - half, 2.0 * half, 2.0 * half};
}

void draw_diamond(Canvas& canvas, const Vec2& middle, double radius, double thickness,
                  Colour8 colour) {
    const std::array<Vec2, 4> corners{middle + Vec2(0.0, -radius), middle + Vec2(radius, 0.0),
                                      middle + Vec2(0.0, radius), middle + Vec2(-radius, 0.0)};
    for (std::size_t i = 0; i < corners.size(); ++i)
        canvas.line(corners[i], corners[(i + 1) % corners.size()], thickness, colour);
}

void draw_mark(Canvas& canvas, const OverlaySizes& sizes, const Mark& mark) {
    const double radius = (mark.is_trail ? 0.75 : 0.5) * sizes.letter;
    const double thickness = 1.3 * sizes.hair;
    for (const auto& [colour, width] :
         {std::pair(shade, thickness + 2.0 * sizes.hair), {ink, thickness}}) {
        if (mark.is_trail)
            draw_diamond(canvas, mark.place, radius, width, colour);
        else
            canvas.ring(mark.place, radius, width, colour);
    }
}

/// Places a label: beside its mark, or further off, where it meets neither label nor mark.
class LabelPlaces {
public:
    LabelPlaces(const OverlaySizes& sizes, const std::vector<Mark>& marks) : sizes_(sizes) {
        for (const Mark& mark : marks) taken_.push_back(box_around(mark.place, sizes.letter));
    }

    PixelBox place(const Mark& mark) {
        const double width = text_width(sizes_.letter, mark.words) + 0.8 * sizes_.letter;
        const double height = 1.4 * sizes_.letter;
        PixelBox best = kept_inside(first_place(mark, width, height));
        for (double far = 1.2; far < 12.0 && !is_free(best); far += 0.6)
            for (const Vec2& way : ways) {
                const Vec2 middle = mark.place + Vec2(way.x * (far * sizes_.letter + 0.5 * width),
                                                      way.y * (far * sizes_.letter + 0.5 * height));
                const PixelBox box{middle.x - 0.5 * width, middle.y - 0.5 * height, width, height};
                if (!is_inside(box) || !is_free(box)) continue;
                best = box;
                break;
            }
        taken_.push_back(best);
        return best;
    }

private:
    /// Right of a point, but over a trail, which it would hide.
    PixelBox first_place(const Mark& mark, double width, double height) const {
        if (mark.is_trail)
            return {mark.place.x - 0.5 * width, mark.place.y - height - 1.5 * sizes_.letter, width,
                    height};
        return {mark.place.x + 1.2 * sizes_.letter, mark.place.y - 0.5 * height, width, height};
    }

    static constexpr std::array<Vec2, 8> ways{
        {{1, 0}, {-1, 0}, {0, -1}, {0, 1}, {0.7, -0.9}, {-0.7, -0.9}, {0.7, 0.9}, {-0.7, 0.9}}};

    bool is_inside(const PixelBox& box) const {
        return box.left >= 0.0 && box.top >= 0.0 && box.left + box.width <= sizes_.width &&
               box.top + box.height <= sizes_.height;
    }

    bool is_free(const PixelBox& box) const {
        return std::ranges::none_of(taken_,
                                    [&](const PixelBox& other) { return box.overlaps(other); });
    }

    PixelBox kept_inside(PixelBox box) const {
        box.left = std::max(0.0, std::min(box.left, sizes_.width - box.width));
        box.top = std::max(0.0, std::min(box.top, sizes_.height - box.height));
        return box;
    }

    const OverlaySizes& sizes_;
    std::vector<PixelBox> taken_;
};

/// The place of a box's rim that is nearest to a mark.
Vec2 nearest(const PixelBox& box, const Vec2& place) {
    return {std::clamp(place.x, box.left, box.left + box.width),
            std::clamp(place.y, box.top, box.top + box.height)};
}

void draw_label(Canvas& canvas, const OverlaySizes& sizes, const Mark& mark, const PixelBox& box) {
    const Vec2 end = nearest(box, mark.place);
    const Vec2 apart = end - mark.place;
    const double gap = glm::length(apart);
    if (gap > 1.5 * sizes.letter) {
        const Vec2 start = mark.place + apart * (0.8 * sizes.letter / gap);
        canvas.line(start, end, 3.0 * sizes.hair, shade);
        canvas.line(start, end, 1.2 * sizes.hair, ink);
    }
    canvas.fill(box, shade, 0.72);
    canvas.text({box.left + 0.4 * sizes.letter, box.top + 1.0 * sizes.letter}, sizes.letter, ink,
                mark.words);
}

}  // namespace

void draw_marks(Canvas& canvas, const OverlaySizes& sizes, const MeterReading& reading) {
    const std::vector<Mark> marks = marks_of(sizes, reading);
    LabelPlaces places(sizes, marks);
    for (const Mark& mark : marks) draw_mark(canvas, sizes, mark);
    for (const Mark& mark : marks) draw_label(canvas, sizes, mark, places.place(mark));
}

}  // namespace lampflight
