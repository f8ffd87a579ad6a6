#include "cli/sheets/guide_ink.h"

#include <algorithm>
#include <cstdint>
#include <vector>

namespace lampflight {
namespace {

constexpr Colour8 shade_colour{0, 0, 0};
constexpr double shade_opacity = 0.75;

/// How far the shade reaches beyond the ink, in hairs.
constexpr double shade_hairs = 0.85;

}  // namespace

Colour8 guide_colour(std::size_t take) {
    // Alike in lightness, each next far from the one before in hue.
    constexpr std::array<Colour8, 6> colours{{{96, 216, 255},
                                              {255, 142, 196},
                                              {186, 232, 96},
                                              {255, 194, 82},
                                              {190, 168, 255},
                                              {255, 138, 110}}};
    return colours[take % colours.size()];
}

InkedShape& GuideInk::of(Colour8 colour) {
    return inks_.try_emplace({colour.r, colour.g, colour.b}, sizes_.width, sizes_.height)
        .first->second;
}

void GuideInk::line(Colour8 colour, std::span<const Vec2> places, double thickness) {
    shade_.line(places, thickness + 2.0 * shade_hairs * sizes_.hair);
    of(colour).line(places, thickness);
}

void GuideInk::disc(Colour8 colour, const Vec2& middle, double radius) {
    shade_.disc(middle, radius + shade_hairs * sizes_.hair);
    of(colour).disc(middle, radius);
}

void GuideInk::ring(Colour8 colour, const Vec2& middle, double radius, double thickness) {
    shade_.ring(middle, radius, thickness + 2.0 * shade_hairs * sizes_.hair);
    of(colour).ring(middle, radius, thickness);
}

void GuideInk::triangle(Colour8 colour, const std::array<Vec2, 3>& corners) {
    shade_.triangle(corners, shade_hairs * sizes_.hair);
    of(colour).triangle(corners);
}

void GuideInk::text(Colour8 colour, const Vec2& foot, double size, std::string_view utf8) {
    shade_.text(foot, size, utf8, 1.3 * sizes_.hair);
    of(colour).text(foot, size, utf8);
}

void GuideInk::lay_on(Canvas& canvas, double opacity) const {
    shade_.lay_on(canvas, shade_colour, opacity * shade_opacity);
    for (const auto& [codes, stroke] : inks_)
        stroke.lay_on(canvas,
                      {static_cast<std::uint8_t>(codes[0]), static_cast<std::uint8_t>(codes[1]),
                       static_cast<std::uint8_t>(codes[2])},
                      opacity);
}

void draw_dashes(GuideInk& ink, Colour8 colour, std::span<const Vec2> places, double thickness,
                 double dash, double gap) {
    double left = 0.0;  // of the dash or gap under way
    bool drawing = false;
    std::vector<Vec2> piece;
    const auto finish = [&] {
        if (piece.size() == 1) piece.push_back(piece.front());
        ink.line(colour, piece, thickness);
        piece.clear();
    };
    for (std::size_t i = 1; i < places.size(); ++i) {
        const Vec2 way = places[i] - places[i - 1];
        const double length = glm::length(way);
        double done = 0.0;
        while (length - done > left) {
            done += left;
            const Vec2 here = places[i - 1] + way * (done / length);
            if (drawing) {
                piece.push_back(here);
                finish();
            } else {
                piece = {here};
            }
            drawing = !drawing;
            left = drawing ? dash : gap;
        }
        left -= length - done;
        if (drawing) piece.push_back(places[i]);
    }
    if (drawing && !piece.empty()) finish();
}

}  // namespace lampflight
