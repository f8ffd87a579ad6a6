// Plain tables of text in columns.
#pragma once

#include <string>
#include <vector>

namespace lampflight {

enum class Align { left, right };

struct Column {
    std::string heading;
    Align align = Align::left;
    std::size_t widest = 200;  ///< characters; longer cells are wrapped between words
};

struct Table {
    std::vector<Column> columns;
    std::vector<std::vector<std::string>> rows;  ///< a row may be shorter than the columns
};

/// Headings, then rows, two spaces apart, no spaces at line ends. A last column that stands left
/// is wrapped as well so that lines stay within `width` characters where they can.
std::string to_text(const Table& table, std::size_t width = 110);

/// Text broken between words into lines of at most `width` characters; a longer word stays whole.
std::vector<std::string> wrapped(const std::string& text, std::size_t width);

/// A number with a fixed count of decimals, "-" where it is not finite; never "-0.0".
std::string decimal_text(double value, int decimals);

/// Three digits of a positive or negative number, without an exponent where it can be helped.
std::string digits_text(double value);

/// A share as a percentage: "12 %", "0.4 %", "less than 0.1 %".
std::string percent_text(double share);

/// Stops with their sign: "+1.3", "-0.5", "none" for no light at all.
std::string stops_text(double stops);

}  // namespace lampflight
