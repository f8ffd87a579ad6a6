#include "cli/sheets/guides.h"

#include <algorithm>
#include <span>

#include "cli/sheets/guide_frame.h"
#include "cli/sheets/guide_labels.h"
#include "cli/sheets/guide_legend.h"
#include "cli/sheets/guide_path.h"
#include "cli/sheets/guide_strokes.h"

namespace lampflight {
namespace {

/// Keeps labels off lines as long as there is room elsewhere.
void spare_lines(LabelPlaces& places, const OverlaySizes& sizes, std::span<const GuidePath> paths) {
    const double half = 0.2 * sizes.letter;
    for (const GuidePath& path : paths)
        for (const GuideStretch& stretch : path.stretches) {
            Vec2 last(-1e300);
            for (const Vec2& place : stretch.places) {
                if (glm::distance(place, last) < half) continue;
                places.spare(box_around(place, half));
                last = place;
            }
        }
}

/// What words must not hide.
void keep_marks_free(LabelPlaces& places, const OverlaySizes& sizes, const PlacedShoot& shoot,
                     std::span<const GuidePath> paths) {
    for (const GuidePath& path : paths) {
        if (path.is_way) continue;
        if (path.start) places.keep_free(box_around(*path.start, 0.7 * sizes.letter));
        if (path.end) places.keep_free(box_around(*path.end, 0.7 * sizes.letter));
    }
    const Projection projection(shoot.camera);
    for (const Point& point : shoot.points)
        if (const auto place = projection.film_px(point.position_m))
            places.keep_free(box_around(*place, 0.4 * sizes.letter));
}

}  // namespace

void draw_guides(Canvas& canvas, const PlacedShoot& shoot, const std::vector<std::string>& takes) {
    const OverlaySizes sizes(canvas.width(), canvas.height(), 1);
    const std::vector<std::string>& names = takes.empty() ? shoot.photograph.takes : takes;
    const std::vector<GuidePath> paths =
        guide_paths(shoot, names, std::max(1.5, sizes.letter / 7.0));
    const TickSteps steps = tick_steps(paths, least_tick_gap(sizes));
    const auto horizon = horizon_places(shoot.camera);
    draw_thirds(canvas, sizes);
    draw_horizon(canvas, sizes, horizon);

    GuideInk lines(sizes), marks(sizes), words(sizes);
    LabelPlaces places(sizes.width, sizes.height, sizes.letter);
    spare_lines(places, sizes, paths);
    keep_marks_free(places, sizes, shoot, paths);
    places.keep_free(draw_legend(canvas, sizes, {names, paths, steps}));
    for (const GuidePath& path : paths) {
        const Colour8 colour = guide_colour(path.take);
        for (const GuideStretch& stretch : path.stretches) draw_stretch(lines, colour, stretch);
        if (path.is_way) continue;
        const PathTicks ticks = ticks_of(path, steps, least_tick_gap(sizes));
        for (const GuideTick& tick : ticks.short_ones) draw_tick(lines, colour, tick, false);
        for (const GuideTick& tick : ticks.long_ones) draw_tick(lines, colour, tick, true);
        draw_heads(lines, colour, path, steps);
        draw_ends(marks, colour, path);
        label_ticks(words, places, colour, ticks.long_ones);
    }
    for (const GuidePath& path : paths)
        if (!path.is_way) label_path(words, places, guide_colour(path.take), path);
    label_subjects(words, places, shoot, names);
    label_points(words, places, shoot);
    label_horizon(words, places, horizon);
    lines.lay_on(canvas);
    marks.lay_on(canvas);
    words.lay_on(canvas);
}

}  // namespace lampflight
