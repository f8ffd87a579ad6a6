#include "cli/table.h"

#include <algorithm>
#include <cmath>
#include <string_view>

#include <fmt/format.h>

namespace lampflight {
namespace {

constexpr std::size_t gap = 2;
constexpr std::size_t narrowest_wrap = 30;

/// Characters of UTF-8 text: all bytes but those that continue one.
std::size_t length_of(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char byte) {
        return (static_cast<unsigned char>(byte) & 0xC0U) != 0x80U;
    }));
}

std::string padded(const std::string& text, std::size_t width, Align align) {
    const std::string space(width - std::min(width, length_of(text)), ' ');
    return align == Align::left ? text + space : space + text;
}

std::vector<std::string> wrapped(const std::string& text, std::size_t width) {
    std::vector<std::string> lines{""};
    std::size_t begin = 0;
    while (begin < text.size()) {
        const std::size_t end = std::min(text.find(' ', begin), text.size());
        const std::string word = text.substr(begin, end - begin);
        begin = end + 1;
        if (lines.back().empty())
            lines.back() = word;
        else if (length_of(lines.back()) + 1 + length_of(word) <= width)
            lines.back() += " " + word;
        else
            lines.push_back(word);
    }
    return lines;
}

std::vector<std::size_t> widths_of(const Table& table) {
    std::vector<std::size_t> widths;
    for (std::size_t column = 0; column < table.columns.size(); ++column) {
        widths.push_back(length_of(table.columns[column].heading));
        for (const auto& row : table.rows)
            if (column < row.size())
                widths.back() = std::max(widths.back(), length_of(row[column]));
    }
    return widths;
}

void append_line(std::string& text, std::string line) {
    line.erase(line.find_last_not_of(' ') + 1);
    text += line + "\n";
}

}  // namespace

std::string to_text(const Table& table, std::size_t width) {
    if (table.columns.empty()) return "";
    const std::vector<std::size_t> widths = widths_of(table);
    const std::size_t last = table.columns.size() - 1;
    std::size_t indent = 0;
    for (std::size_t column = 0; column < last; ++column) indent += widths[column] + gap;
    const std::size_t room = width >= indent + narrowest_wrap ? width - indent : narrowest_wrap;

    std::string text;
    const auto append_row = [&](const std::vector<std::string>& row) {
        std::string line;
        const auto cell = [&](std::size_t column) {
            return column < row.size() ? row[column] : std::string();
        };
        for (std::size_t column = 0; column < last; ++column)
            line += padded(cell(column), widths[column], table.columns[column].align) +
                    std::string(gap, ' ');
        if (table.columns[last].align == Align::right) {
            append_line(text, line + padded(cell(last), widths[last], Align::right));
            return;
        }
        for (const std::string& piece : wrapped(cell(last), room)) {
            append_line(text, line + piece);
            line.assign(indent, ' ');
        }
    };
    std::vector<std::string> headings;
    for (const Column& column : table.columns) headings.push_back(column.heading);
    append_row(headings);
    for (const auto& row : table.rows) append_row(row);
    return text;
}

std::string decimal_text(double value, int decimals) {
    if (!std::isfinite(value)) return "-";
    std::string text = fmt::format("{:.{}f}", value, decimals);
    const bool is_zero = text.find_first_not_of("-0.") == std::string::npos;
    if (is_zero && text.front() == '-') text.erase(0, 1);
    return text;
}

std::string percent_text(double share) {
    const double percent = share * 100.0;
    const bool small = percent > 0.0 && percent < 10.0;
    return decimal_text(percent, small ? 1 : 0) + " %";
}

std::string stops_text(double stops) {
    if (!std::isfinite(stops)) return "none";
    const std::string text = decimal_text(stops, 1);
    return text.front() == '-' || text == "0.0" ? text : "+" + text;
}

}  // namespace lampflight
