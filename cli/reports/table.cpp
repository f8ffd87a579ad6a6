#include "cli/reports/table.h"

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

/// Width of each column: its longest cell, within bounds.
std::vector<std::size_t> widths_of(const Table& table, std::size_t width) {
    std::vector<std::size_t> widths;
    std::size_t left = width;
    for (std::size_t column = 0; column < table.columns.size(); ++column) {
        const Column& kind = table.columns[column];
        const bool is_last = column + 1 == table.columns.size();
        std::size_t widest = kind.widest;
        if (is_last && kind.align == Align::left)
            widest = std::min(widest, std::max(left, narrowest_wrap));
        std::size_t longest = length_of(kind.heading);
        for (const auto& row : table.rows)
            if (column < row.size()) longest = std::max(longest, length_of(row[column]));
        widths.push_back(std::min(longest, std::max(widest, length_of(kind.heading))));
        left -= std::min(left, widths.back() + gap);
    }
    return widths;
}

void append_row(std::string& text, const Table& table, const std::vector<std::size_t>& widths,
                const std::vector<std::string>& row) {
    std::vector<std::vector<std::string>> cells;
    std::size_t height = 1;
    for (std::size_t column = 0; column < row.size(); ++column) {
        cells.push_back(wrapped(row[column], widths[column]));
        height = std::max(height, cells.back().size());
    }
    for (std::size_t line_number = 0; line_number < height; ++line_number) {
        std::string line;
        for (std::size_t column = 0; column < cells.size(); ++column) {
            const auto& lines = cells[column];
            line += padded(line_number < lines.size() ? lines[line_number] : std::string(),
                           widths[column], table.columns[column].align);
            line.append(gap, ' ');
        }
        line.erase(line.find_last_not_of(' ') + 1);
        text.append(line).append("\n");
    }
}

}  // namespace

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

std::string to_text(const Table& table, std::size_t width) {
    const std::vector<std::size_t> widths = widths_of(table, width);
    std::vector<std::string> headings;
    for (const Column& column : table.columns) headings.push_back(column.heading);
    std::string text;
    append_row(text, table, widths, headings);
    for (const auto& row : table.rows) append_row(text, table, widths, row);
    return text;
}

std::string decimal_text(double value, int decimals) {
    if (!std::isfinite(value)) return "-";
    std::string text = fmt::format("{:.{}f}", value, decimals);
    const bool is_zero = text.find_first_not_of("-0.") == std::string::npos;
    if (is_zero && text.front() == '-') text.erase(0, 1);
    return text;
}

std::string digits_text(double value) {
    if (!std::isfinite(value)) return "-";
    return std::abs(value) >= 1000.0 ? decimal_text(value, 0) : fmt::format("{:.3g}", value);
}

std::string percent_text(double share) {
    const double percent = share * 100.0;
    if (percent > 0.0 && percent < 0.05) return "less than 0.1 %";
    const bool small = percent > 0.0 && percent < 10.0;
    return fmt::format("{} %", decimal_text(percent, small ? 1 : 0));
}

std::string stops_text(double stops) {
    if (!std::isfinite(stops)) return "none";
    const std::string text = decimal_text(stops, 1);
    return text.front() == '-' || text == "0.0" ? text : "+" + text;
}

}  // namespace lampflight
