// Plain tables of text in columns, laid out to the width there is.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace lampflight {

enum class Align { left, right };

struct Column {
    std::string heading;
    Align align = Align::left;
    std::size_t widest = 200;    ///< characters; longer cells are folded between words
    std::size_t narrowest = 12;  ///< to which a left column may be folded where room is short
};

struct Table {
    std::vector<Column> columns;                 ///< what matters first
    std::vector<std::vector<std::string>> rows;  ///< a row may be shorter than the columns
    std::size_t keys = 1;  ///< leading columns by which a row is known: each block repeats them
};

/// Headings, then rows, two spaces apart, no spaces at line ends. Where `width` characters are too
/// few, headings are folded, then cells; the columns that still find no room follow as another
/// block. No line is longer.
std::string to_text(const Table& table, std::size_t width);

/// Without the columns that say nothing ("-") in any row, its keys aside.
Table without_idle_columns(const Table& table);

/// Text broken between words into lines of at most `width` characters; a longer word is cut.
std::vector<std::string> wrapped(const std::string& text, std::size_t width);

/// The same as lines with their ends; those that go on stand `hang` characters in.
std::string paragraph(const std::string& text, std::size_t width, std::size_t hang = 0);

/// Characters of UTF-8 text.
std::size_t length_of(std::string_view text);

}  // namespace lampflight
