#include "cli/sheets/overlay_marks.h"

#include <array>
#include <string>

#include <fmt/format.h>

#include "cli/reports/quantity_text.h"
#include "cli/sheets/label_places.h"
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

/// Right of a point, but over a trail, which it would hide.
PixelBox first_place(const OverlaySizes& sizes, const Mark& mark) {
    const double width = text_width(sizes.letter, mark.words) + 0.8 * sizes.letter;
    const double height = 1.4 * sizes.letter;
    if (mark.is_trail)
        return {mark.place.x - 0.5 * width, mark.place.y - height - 1.5 * sizes.letter, width,
                height};
    return {mark.place.x + 1.2 * sizes.letter, mark.place.y - 0.5 * height, width, height};
}

/// Where its label stands. Where there is no room, labels lie over one another.
PixelBox label_place(LabelPlaces& places, const OverlaySizes& sizes, const Mark& mark) {
    const PixelBox first = first_place(sizes, mark);
    if (const auto box = places.place(mark.place, first)) return *box;
    const PixelBox box = places.moved_inside(first);
    places.keep_free(box);
    return box;
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
    LabelPlaces places(sizes.width, sizes.height, sizes.letter);
    for (const Mark& mark : marks) places.keep_free(box_around(mark.place, sizes.letter));
    for (const Mark& mark : marks) draw_mark(canvas, sizes, mark);
    for (const Mark& mark : marks) draw_label(canvas, sizes, mark, label_place(places, sizes, mark));
}

}  // namespace lampflight
