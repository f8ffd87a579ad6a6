#include "cli/sheets/guide_legend.h"

#include <algorithm>
#include <vector>

#include <fmt/format.h>

#include "cli/reports/quantity_text.h"
#include "cli/sheets/guide_strokes.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

constexpr Colour8 ground{12, 12, 16};
constexpr double ground_opacity = 0.68;
constexpr std::size_t longest_take_name = 28;

// In letters.
constexpr double text_size = 0.92;
constexpr double sample_width = 2.4;
constexpr double sample_gap = 0.5;
constexpr double entry_gap = 1.5;
constexpr double margin = 0.9;
constexpr double row_height = 1.6;
constexpr double padding = 0.35;

enum class Sample { take, dark, turned_away, ticks };

struct Entry {
    Sample sample;
    Colour8 colour;
    std::string words;
    Vec2 left_middle{};  ///< of the sample, within the strip
};

bool draws(std::span<const GuidePath> paths, GuideLine line) {
    return std::ranges::any_of(paths, [&](const GuidePath& path) {
        return std::ranges::any_of(path.stretches, [&](const GuideStretch& stretch) {
            return stretch.line == line && stretch.places.size() > 2;
        });
    });
}

std::vector<Entry> entries_of(const GuideKey& key) {
    std::vector<Entry> entries;
    for (std::size_t i = 0; i < key.takes.size(); ++i)
        entries.push_back(
            {Sample::take, guide_colour(i), printable(key.takes[i], longest_take_name)});
    if (draws(key.paths, GuideLine::dark))
        entries.push_back({Sample::dark, plain_ink, "lamps out"});
    if (draws(key.paths, GuideLine::turned_away))
        entries.push_back({Sample::turned_away, plain_ink, "lamps turned away"});
    const auto seconds = [](double time_s) { return decimal_text(time_s, 0); };
    if (std::ranges::any_of(key.paths, [](const GuidePath& path) { return !path.seconds.empty(); }))
        entries.push_back({Sample::ticks, plain_ink,
                           fmt::format("{} s, long {} s", seconds(key.steps.short_s),
                                       seconds(key.steps.long_s))});
    return entries;
}

/// Sets the entries down row by row, and gives the number of rows.
int set_down(std::vector<Entry>& entries, const OverlaySizes& sizes) {
    const double letter = sizes.letter;
    double left = margin * letter;
    int row = 0;
    for (Entry& entry : entries) {
        const double width =
            (sample_width + sample_gap) * letter + text_width(text_size * letter, entry.words);
        if (left > margin * letter && left + width > sizes.width - margin * letter) {
            ++row;
            left = margin * letter;
        }
        entry.left_middle = {left, (padding + (row + 0.5) * row_height) * letter};
        left += width + entry_gap * letter;
    }
    return row + 1;
}

void draw_sample(GuideInk& ink, const Entry& entry, const Vec2& from) {
    const double letter = ink.sizes().letter;
    const Vec2 to = from + Vec2(sample_width * letter, 0.0);
    const std::vector<Vec2> whole{from, to};
    switch (entry.sample) {
        case Sample::take:
            return draw_stretch(ink, entry.colour, {GuideLine::burning, whole});
        case Sample::dark:
            return draw_stretch(ink, entry.colour,
                                {GuideLine::dark, {from - Vec2(0.5 * letter, 0.0), to}});
        case Sample::turned_away:
            return draw_stretch(ink, entry.colour, {GuideLine::turned_away, whole});
        case Sample::ticks:
            draw_stretch(ink, entry.colour, {GuideLine::burning, whole});
            for (const double share : {0.1, 0.3667, 0.6333, 0.9})
                draw_tick(ink, entry.colour, {0.0, from + share * (to - from), {1.0, 0.0}},
                          share == 0.1);
            return;
    }
}

/// How many places of paths a strip would hide.
std::size_t hidden_by(const PixelBox& strip, std::span<const GuidePath> paths) {
    std::size_t count = 0;
    for (const GuidePath& path : paths) {
        for (const GuideStretch& stretch : path.stretches)
            for (const Vec2& place : stretch.places)
                count += place.x >= 0.0 && place.x < strip.width && place.y >= strip.top &&
                                 place.y < strip.top + strip.height
                             ? 1
                             : 0;
    }
    return count;
}

}  // namespace

PixelBox draw_legend(Canvas& canvas, const OverlaySizes& sizes, const GuideKey& key) {
    std::vector<Entry> entries = entries_of(key);
    const int rows = set_down(entries, sizes);
    const double height = (2.0 * padding + rows * row_height) * sizes.letter;
    if (entries.empty() || 3.0 * height > sizes.height) return {0.0, 0.0, 0.0, 0.0};
    const double width = sizes.width;
    const PixelBox below{0.0, sizes.height - height, width, height}, above{0.0, 0.0, width, height};
    const PixelBox strip =
        hidden_by(below, key.paths) > hidden_by(above, key.paths) ? above : below;
    canvas.fill(strip, ground, ground_opacity);
    GuideInk ink(sizes);
    for (const Entry& entry : entries) {
        const Vec2 place = entry.left_middle + Vec2(0.0, strip.top);
        draw_sample(ink, entry, place);
        ink.text(entry.sample == Sample::take ? entry.colour : plain_ink,
                 place + Vec2((sample_width + sample_gap) * sizes.letter, 0.3 * sizes.letter),
                 text_size * sizes.letter, entry.words);
    }
    ink.lay_on(canvas);
    return strip;
}

}  // namespace lampflight
