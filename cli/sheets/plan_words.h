// Words on paper: how wide they are, cut or folded to the room there is.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "cli/drawing/svg_page.h"

namespace lampflight {

/// Colours that are dark enough in black and white as well.
constexpr const char* plan_ink = "#16181d";
constexpr const char* plan_faint = "#565c66";
constexpr const char* plan_rule = "#d0d0d0";
constexpr const char* plan_stone = "#d9d4ca";

/// In points, of the widest of the fonts that a page may be shown in.
double plan_text_width(std::string_view words, double size, bool bold = false);

/// Safe to print, cut short where it is wider than the room.
std::string fitted(std::string_view words, double size, double width, bool bold = false);

/// Broken between words into lines of the room's width; a longer word is cut.
std::vector<std::string> folded(std::string_view words, double size, double width);

/// A table whose first column and those that may shrink give way where the room is short.
struct PlanTable {
    struct Heading {
        std::string words;
        bool right = false;    ///< its cells end at the right, as figures do
        bool shrinks = false;  ///< its cells may be cut
    };
    std::vector<Heading> headings;
    std::vector<std::vector<std::string>> rows;
    std::string more;  ///< a last line of its own; empty for none

    /// Leaves out columns that say nothing ("-") in any row, but for the first.
    void leave_out_idle();
    double height() const;
};

constexpr double plan_letter = 8.0;     ///< points; the smallest on the page
constexpr double plan_row_step = 10.4;  ///< points from line to line

void draw_table(SvgPage& page, const Vec2& corner, double width, const PlanTable& table);

}  // namespace lampflight
