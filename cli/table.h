// Plain tables of text in columns.
#pragma once

#include <string>
#include <vector>

namespace lampflight {

enum class Align { left, right };

struct Column {
    std::string heading;
    Align align = Align::left;
};

struct Table {
    std::vector<Column> columns;
    std::vector<std::vector<std::string>> rows;  ///< a row may be shorter than the columns
};

/// Headings, then rows, two spaces apart, no spaces at line ends. A last column that stands left
/// is wrapped between words so that lines stay within `width` characters where they can.
std::string to_text(const Table& table, std::size_t width = 110);

/// A number with a fixed count of decimals, "-" where it is not finite; never "-0.0".
std::string decimal_text(double value, int decimals);

/// A share as a percentage: "12 %", "0.4 %" when small.
std::string percent_text(double share);

/// Stops with their sign: "+1.3", "-0.5", "none" for no light at all.
std::string stops_text(double stops);

}  // namespace lampflight
