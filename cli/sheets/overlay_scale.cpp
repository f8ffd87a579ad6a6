#include "cli/sheets/overlay_scale.h"

#include <cmath>
#include <numeric>

#include <fmt/format.h>

#include "cli/reports/quantity_text.h"
#include "cli/sheets/step_colours.h"
#include "renderer/meter/exposure_steps.h"
#include "scene/keys/key_table.h"

namespace lampflight {
namespace {

constexpr Colour8 words{222, 222, 226};
constexpr Colour8 quiet_words{160, 160, 168};
constexpr double gap_share = 0.35;  // of a cell, beside black and burnt

/// One cell of the scale: a step, or all that is black.
struct Cell {
    PixelBox box;
    std::size_t step;
    double share;
};

/// Whether a pixel lies on a stroke of hatching at 45 degrees; `way` is 1 or -1.
bool on_stroke(const OverlaySizes& sizes, int x, int y, int way) {
    const int period = std::max(5, static_cast<int>(0.75 * sizes.letter));
    const int thickness = std::max(1, static_cast<int>(sizes.letter / 9.0));
    return ((x + way * y) % period + period) % period < thickness;
}

double black_share(const MeterReading& reading) {
    const auto& shares = reading.step_shares;
    return std::accumulate(
        shares.begin(), shares.begin() + static_cast<std::ptrdiff_t>(first_coloured_step()), 0.0);
}

std::vector<Cell> cells_of(const OverlaySizes& sizes, const MeterReading& reading) {
    const std::size_t steps = coloured_steps();
    const double margin = sizes.letter;
    const double width =
        (sizes.width - 2.0 * margin) / (static_cast<double>(steps) + 2.0 + 2.0 * gap_share);
    const PixelBox black{margin, sizes.height + 2.2 * sizes.letter, width, 1.8 * sizes.letter};
    std::vector<Cell> cells{{black, 0, black_share(reading)}};
    PixelBox box = black;
    box.left += (1.0 + gap_share) * width;
    for (std::size_t i = 0; i < steps; ++i, box.left += width) {
        const std::size_t step = first_coloured_step() + i;
        cells.push_back({box, step, reading.step_shares[step]});
    }
    box.left += gap_share * width;
    const std::size_t burnt = first_coloured_step() + steps;
    cells.push_back({box, burnt, reading.step_shares[burnt]});
    return cells;
}

void draw_centred(Canvas& canvas, double middle, double foot, double size, Colour8 colour,
                  std::string_view text) {
    canvas.text({middle - 0.5 * text_width(size, text), foot}, size, colour, text);
}

std::string short_percent(double share) {
    if (share <= 0.0) return "–";
    if (share < 0.001) return "<0.1 %";
    return fmt::format("{} %", decimal_text(100.0 * share, share < 0.0995 ? 1 : 0));
}

bool is_light(Colour8 colour) {
    return 2 * colour.r + 5 * colour.g + colour.b > 8 * 130;
}

void hatch(Canvas& canvas, const OverlaySizes& sizes, const PixelBox& box, bool burnt) {
    for (int y = static_cast<int>(box.top); y < static_cast<int>(box.top + box.height); ++y)
        for (int x = static_cast<int>(box.left); x < static_cast<int>(box.left + box.width); ++x)
            if (burnt ? on_burnt_stroke(sizes, x, y) : on_black_stroke(sizes, x, y))
                canvas.set(x, y, burnt ? burnt_stroke : black_stroke);
}

void draw_cell(Canvas& canvas, const OverlaySizes& sizes, const Cell& cell) {
    const Colour8 colour = colour_of_step(cell.step);
    const std::size_t first = first_coloured_step();
    const bool burnt = cell.step >= first + coloured_steps();
    const bool plain = cell.step >= first && !burnt;
    canvas.fill(cell.box, colour);
    if (!plain) hatch(canvas, sizes, cell.box, burnt);
    const double middle = cell.box.left + 0.5 * cell.box.width;
    const double foot = cell.box.top + 0.5 * cell.box.height + 0.3 * sizes.letter;
    const std::string share = short_percent(cell.share);
    if (!plain) {
        const double width = text_width(0.85 * sizes.letter, share) + 0.5 * sizes.letter;
        canvas.fill({middle - 0.5 * width, cell.box.top + 0.35 * sizes.letter, width,
                     cell.box.height - 0.7 * sizes.letter},
                    colour);
    }
    draw_centred(canvas, middle, foot, 0.85 * sizes.letter,
                 is_light(colour) ? Colour8{0, 0, 0} : Colour8{235, 235, 238}, share);
}

/// The stops at the edge on the left of a cell, with a tick.
void draw_edge(Canvas& canvas, const OverlaySizes& sizes, const PixelBox& box, double left,
               const std::string& label, Colour8 colour) {
    const double bottom = box.top + box.height;
    canvas.fill({left - 0.5 * sizes.hair, bottom, sizes.hair, 0.4 * sizes.letter}, colour);
    draw_centred(canvas, left, bottom + 1.35 * sizes.letter, 0.95 * sizes.letter, colour, label);
}

std::string edge_label(double stops) {
    const int whole = static_cast<int>(std::lround(stops));
    if (whole == 0) return "mid-grey";
    return fmt::format("{}{}", whole < 0 ? "−" : "+", std::abs(whole));
}

void draw_labels(Canvas& canvas, const OverlaySizes& sizes, const std::vector<Cell>& cells) {
    const auto edges = step_edges_stops();
    for (std::size_t i = 1; i + 1 < cells.size(); ++i) {
        const double stops = edges[cells[i].step - 1];
        const bool grey = std::abs(stops) < 0.5;
        draw_edge(canvas, sizes, cells[i].box, cells[i].box.left, edge_label(stops),
                  grey ? Colour8{255, 255, 255} : words);
    }
    const PixelBox& last = cells[cells.size() - 2].box;
    draw_edge(canvas, sizes, last, last.left + last.width, "white", words);
    for (const auto& [cell, name] :
         {std::pair(&cells.front(), "black"), {&cells.back(), "burnt out"}})
        draw_centred(canvas, cell->box.left + 0.5 * cell->box.width,
                     cell->box.top + cell->box.height + 1.35 * sizes.letter, 0.95 * sizes.letter,
                     words, name);
}

std::string picture_words(const Shoot& shoot, const MeterReading& reading) {
    std::string text = shoot.title.empty() ? "" : shoot.title + " · ";
    if (reading.takes.size() == 1) return text + reading.takes.front().take;
    return text + fmt::format("{} takes, {}", reading.takes.size(),
                              words_of<Blend>.at(static_cast<std::size_t>(shoot.photograph.blend)));
}

/// The text, or as much of its beginning as fits.
std::string fitted(std::string text, double size, double width) {
    if (text_width(size, text) <= width) return text;
    while (!text.empty() && text_width(size, text + "…") > width) {
        while (!text.empty() && (static_cast<unsigned char>(text.back()) & 0xC0) == 0x80)
            text.pop_back();
        if (!text.empty()) text.pop_back();
    }
    return text + "…";
}

}  // namespace

bool on_black_stroke(const OverlaySizes& sizes, int x, int y) {
    return on_stroke(sizes, x, y, 1);
}

bool on_burnt_stroke(const OverlaySizes& sizes, int x, int y) {
    return on_stroke(sizes, x, y, -1);
}

void draw_scale(Canvas& canvas, const OverlaySizes& sizes, const Shoot& shoot,
                const MeterReading& reading) {
    const std::vector<Cell> cells = cells_of(sizes, reading);
    const double foot = sizes.height + 1.45 * sizes.letter;
    const std::string_view meaning = "stops from mid-grey, shares of the photograph";
    const double meaning_width = text_width(sizes.letter, meaning);
    const double left = cells.front().box.left;
    const double right = cells.back().box.left + cells.back().box.width;
    canvas.text({right - meaning_width, foot}, sizes.letter, quiet_words, meaning);
    canvas.text({left, foot}, sizes.letter, words,
                fitted(picture_words(shoot, reading), sizes.letter,
                       right - left - meaning_width - 2.0 * sizes.letter));
    for (const Cell& cell : cells) draw_cell(canvas, sizes, cell);
    draw_labels(canvas, sizes, cells);
}

}  // namespace lampflight
