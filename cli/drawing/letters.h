// Letters as pixels, from a font that is part of the program.
#pragma once

#include <functional>
#include <string_view>

#include "scene/basics/vector.h"

namespace lampflight {

/// How much of a pixel a letter covers, 0 to 1.
using CoverPixel = std::function<void(int x, int y, double share)>;

/// Draws UTF-8 text on one line that begins at `foot`; `size` is the height from the highest letter
/// to the lowest, in pixels. A character that the font hasn't got shows as its empty box.
void draw_letters(const Vec2& foot, double size, std::string_view utf8, const CoverPixel& cover);

/// Width of a text in pixels.
double letters_width(double size, std::string_view utf8);

}  // namespace lampflight
