#include "cli/sheets/guide_labels.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <set>

#include <fmt/format.h>

#include "cli/reports/quantity_text.h"
#include "cli/sheets/guide_strokes.h"
#include "scene/basics/names.h"
#include "scene/basics/wording.h"
#include "scene/shoot/presence.h"

namespace lampflight {
namespace {

constexpr std::size_t longest_label = 28;
constexpr double name_size = 0.95;  // in letters
constexpr double small_size = 0.85;
constexpr double line_height = 1.15;  // of text, in its size
constexpr double foot_share = 0.8;    // of that, down to where letters stand

Vec2 text_box(double size, const std::string& words) {
    return {text_width(size, words), line_height * size};
}

void write(GuideInk& ink, Colour8 colour, const PixelBox& box, double size,
           const std::string& words) {
    ink.text(colour, {box.left, box.top + foot_share * box.height}, size, words);
}

/// Words beside a mark, with a line to it where they stand apart. Nothing where there is no room.
void label(GuideInk& ink, LabelPlaces& places, Colour8 colour, const Vec2& mark, const Vec2& first,
           double size, const std::string& words) {
    const Vec2 extent = text_box(size, words);
    const double letter = ink.sizes().letter;
    const PixelBox wanted{mark.x + first.x * letter - (first.x < 0.0 ? extent.x : 0.0) -
                              (first.x == 0.0 ? 0.5 * extent.x : 0.0),
                          mark.y + first.y * letter - (first.y < 0.0 ? extent.y : 0.0) -
                              (first.y == 0.0 ? 0.5 * extent.y : 0.0),
                          extent.x, extent.y};
    const auto box = places.place(mark, wanted);
    if (!box) return;
    const Vec2 end = nearest(*box, mark);
    const double gap = glm::distance(end, mark);
    if (gap > 1.4 * letter) {
        constexpr int pieces = 12;
        for (int i = 0; i <= pieces; ++i)
            places.spare(box_around(mark + (end - mark) * (1.0 * i / pieces), 0.15 * letter));
        ink.line(colour, mark + (end - mark) * (0.75 * letter / gap),
                 mark + (end - mark) * (1.0 - 0.2 * letter / gap), 0.8 * ink.sizes().hair);
    }
    write(ink, colour, *box, size, words);
}

std::string seconds_text(double time_s) {
    const bool whole = std::abs(time_s - std::round(time_s)) < 0.05;
    return fmt::format("{} s", decimal_text(time_s, whole ? 0 : 1));
}

std::optional<Vec2> first_place_in_frame(const OverlaySizes& sizes, const GuidePath& path) {
    const auto is_inside = [&](const Vec2& place) {
        return place.x >= 0.0 && place.y >= 0.0 && place.x < sizes.width && place.y < sizes.height;
    };
    for (const GuideStretch& stretch : path.stretches)
        for (const Vec2& place : stretch.places)
            if (is_inside(place)) return place;
    return std::nullopt;
}

/// Where the highest of a mesh shows, moved into the frame; nothing of one that lies outside it.
std::optional<Vec2> top_on_film(const Camera& camera, const Projection& projection,
                                const Mesh& mesh) {
    Vec2 low(1e300), high(-1e300), top(0.0, 1e300);
    for (const glm::vec3& vertex_m : mesh.positions) {
        const auto place = projection.film_px(Vec3(vertex_m));
        if (!place) continue;
        low = glm::min(low, *place);
        high = glm::max(high, *place);
        if (place->y < top.y) top = *place;
    }
    const Vec2 size(camera.pixels);
    if (high.x < 0.0 || high.y < 0.0 || low.x > size.x || low.y > size.y) return std::nullopt;
    return glm::clamp(top, Vec2(0.0), size);
}

}  // namespace

void label_ticks(GuideInk& ink, LabelPlaces& places, Colour8 colour,
                 std::span<const GuideTick> long_ticks) {
    const double letter = ink.sizes().letter, size = small_size * letter;
    for (const GuideTick& tick : long_ticks) {
        const std::string words = seconds_text(tick.time_s);
        const Vec2 extent = text_box(size, words);
        const Vec2 across{-tick.along.y, tick.along.x};
        std::vector<PixelBox> boxes;
        // Beside the tick, and where there is no room a little ahead or behind.
        for (const double aside : {0.0, 0.6, -0.6})
            for (const double far : {0.25, 0.5})
                for (const double way : {1.0, -1.0}) {
                    const Vec2 out = way * across;
                    const double reach =
                        tick_reach(ink.sizes(), true) + far * letter +
                        0.5 * (std::abs(out.x) * extent.x + std::abs(out.y) * extent.y);
                    const Vec2 middle = tick.place + reach * out + aside * extent.x * tick.along;
                    boxes.push_back(
                        {middle.x - 0.5 * extent.x, middle.y - 0.5 * extent.y, extent.x, extent.y});
                }
        if (const auto box = places.first_free(boxes)) write(ink, colour, *box, size, words);
    }
}

void label_path(GuideInk& ink, LabelPlaces& places, Colour8 colour, const GuidePath& path) {
    const double size = name_size * ink.sizes().letter;
    const std::string name = printable(path.flight, longest_label);
    const std::string end_words =
        fmt::format("{} {}", path.cut_off ? "shutter closes" : "end", seconds_text(path.until_s));
    if (path.start && path.end && glm::distance(*path.start, *path.end) < ink.sizes().letter)
        return label(ink, places, colour, *path.start, {0.9, 0.0}, size,
                     fmt::format("{}: start {}, {}", name, seconds_text(path.from_s), end_words));
    if (path.start)
        label(ink, places, colour, *path.start, {0.9, 0.0}, size,
              fmt::format("{}: start {}", name, seconds_text(path.from_s)));
    else if (const auto place = first_place_in_frame(ink.sizes(), path))
        label(ink, places, colour, *place, {0.9, 0.0}, size, name);
    if (path.end) label(ink, places, colour, *path.end, {0.9, 0.0}, size, end_words);
}

void label_subjects(GuideInk& ink, LabelPlaces& places, const PlacedShoot& shoot,
                    std::span<const std::string> takes) {
    std::set<std::size_t> present;
    for (const std::string& name : takes)
        if (const Take* take = find_named(shoot.takes, name))
            for (const std::size_t subject : present_subjects(shoot, *take))
                present.insert(subject);
    const Projection projection(shoot.camera);
    for (const std::size_t subject : present)
        if (const auto top = top_on_film(shoot.camera, projection, shoot.meshes[subject]))
            label(ink, places, plain_ink, *top, {0.0, -0.2}, small_size * ink.sizes().letter,
                  printable(shoot.subjects[subject].name, longest_label));
}

void label_points(GuideInk& ink, LabelPlaces& places, const PlacedShoot& shoot) {
    const double letter = ink.sizes().letter;
    const Projection projection(shoot.camera);
    for (const Point& point : shoot.points) {
        const auto place = projection.film_px(point.position_m);
        if (!place || !in_frame(shoot.camera, *place)) continue;
        ink.ring(plain_ink, *place, 0.28 * letter, 1.1 * ink.sizes().hair);
        label(ink, places, plain_ink, *place, {0.6, 0.0}, small_size * letter,
              printable(point.name, longest_label));
    }
}

void label_horizon(GuideInk& ink, LabelPlaces& places,
                   const std::vector<std::vector<Vec2>>& horizon) {
    const double letter = ink.sizes().letter, size = small_size * letter;
    const Vec2 extent = text_box(size, "horizon");
    for (const std::vector<Vec2>& piece : horizon) {
        std::vector<PixelBox> boxes;
        for (const double share : {1.0, 0.0, 0.75, 0.25, 0.5}) {
            const Vec2& at =
                piece[static_cast<std::size_t>(share * static_cast<double>(piece.size() - 1))];
            for (const double up : {1.0, 0.0})
                boxes.push_back({at.x - share * extent.x + (0.5 - share) * letter,
                                 at.y - up * extent.y + (up > 0.0 ? -0.25 : 0.25) * letter,
                                 extent.x, extent.y});
        }
        if (const auto box = places.first_free(boxes))
            return write(ink, plain_ink, *box, size, "horizon");
    }
}

}  // namespace lampflight
