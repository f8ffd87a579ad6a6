#include "cli/reports/table.h"

#include <algorithm>
#include <numeric>

namespace lampflight {
namespace {

constexpr std::size_t gap = 2;

/// Starts a character of UTF-8 text: every byte but those that continue one.
bool starts_character(char byte) {
    return (static_cast<unsigned char>(byte) & 0xC0U) != 0x80U;
}

/// Cuts the first `count` characters off a text.
std::string cut_off(std::string& text, std::size_t count) {
    std::size_t end = 0;
    for (std::size_t seen = 0; end < text.size(); ++end)
        if (starts_character(text[end]) && seen++ == count) break;
    std::string head = text.substr(0, end);
    text.erase(0, end);
    return head;
}

std::string padded(const std::string& text, std::size_t width, Align align) {
    const std::string space(width - std::min(width, length_of(text)), ' ');
    return align == Align::left ? text + space : space + text;
}

/// The columns of a table that stand side by side, with their widths.
struct Block {
    std::vector<std::size_t> columns;
    std::vector<std::size_t> widths;

    std::size_t width() const {
        return std::accumulate(widths.begin(), widths.end(), gap * (widths.size() - 1));
    }
};

class Layout {
public:
    explicit Layout(const Table& table) : table_(table) {
        for (std::size_t column = 0; column < table.columns.size(); ++column) {
            const Column& kind = table.columns[column];
            std::size_t cell = 0;
            for (const auto& row : table.rows)
                if (column < row.size()) cell = std::max(cell, length_of(row[column]));
            cell = std::min(cell, kind.widest);
            whole_.push_back(std::max(cell, length_of(kind.heading)));
            folded_.push_back(std::max(cell, longest_word_of_heading(kind.heading)));
            least_.push_back(kind.align == Align::left ? std::min(folded_.back(), kind.narrowest)
                                                       : folded_.back());
        }
    }

    /// All columns in one block where they fit, else in as many as it takes.
    std::vector<Block> blocks(std::size_t width) const {
        Block all;
        for (std::size_t column = 0; column < whole_.size(); ++column)
            all.columns.push_back(column);
        all.widths = whole_;
        if (all.width() <= width) return {all};
        if (fit(all, width)) return {all};
        return cut(width);
    }

private:
    static std::size_t longest_word_of_heading(const std::string& heading) {
        std::size_t longest = 0, length = 0;
        for (const char letter : heading) {
            length = letter == ' ' ? 0 : length + (starts_character(letter) ? 1 : 0);
            longest = std::max(longest, length);
        }
        return longest;
    }

    /// Folds the widest cells of a block until it fits; false where it can't.
    bool fit(Block& block, std::size_t width) const {
        block.widths.clear();
        for (const std::size_t column : block.columns) block.widths.push_back(folded_[column]);
        while (block.width() > width) {
            std::size_t widest = block.columns.size();
            for (std::size_t i = 0; i < block.columns.size(); ++i)
                if (block.widths[i] > least_[block.columns[i]] &&
                    (widest == block.columns.size() || block.widths[i] > block.widths[widest]))
                    widest = i;
            if (widest == block.columns.size()) return false;
            --block.widths[widest];
        }
        return true;
    }

    std::vector<Block> cut(std::size_t width) const {
        Block keys;
        for (std::size_t column = 0; column < table_.keys; ++column) keys.columns.push_back(column);
        std::vector<Block> blocks{keys};
        for (std::size_t column = table_.keys; column < whole_.size(); ++column) {
            Block tried = blocks.back();
            tried.columns.push_back(column);
            if (!fit(tried, width) && blocks.back().columns.size() > keys.columns.size()) {
                blocks.push_back(keys);
                tried = keys;
                tried.columns.push_back(column);
                fit(tried, width);
            }
            blocks.back() = tried;
        }
        return blocks;
    }

    const Table& table_;
    std::vector<std::size_t> whole_;   ///< with each heading on one line
    std::vector<std::size_t> folded_;  ///< with headings folded between words
    std::vector<std::size_t> least_;   ///< with cells folded as far as they may be
};

/// Cells stand at the top of their row, headings at the foot.
void append_row(std::string& text, const Table& table, const Block& block,
                const std::vector<std::string>& row, bool at_foot) {
    std::vector<std::vector<std::string>> cells;
    std::size_t height = 1;
    for (std::size_t i = 0; i < block.columns.size(); ++i) {
        const std::size_t column = block.columns[i];
        cells.push_back(wrapped(column < row.size() ? row[column] : "", block.widths[i]));
        height = std::max(height, cells.back().size());
    }
    for (std::size_t line_number = 0; line_number < height; ++line_number) {
        std::string line;
        for (std::size_t i = 0; i < cells.size(); ++i) {
            const std::size_t skipped = at_foot ? height - cells[i].size() : 0;
            const bool is_there = line_number >= skipped && line_number - skipped < cells[i].size();
            line += padded(is_there ? cells[i][line_number - skipped] : std::string(),
                           block.widths[i], table.columns[block.columns[i]].align);
            line.append(gap, ' ');
        }
        line.erase(line.find_last_not_of(' ') + 1);
        text.append(line).append("\n");
    }
}

}  // namespace

std::size_t length_of(std::string_view text) {
    return static_cast<std::size_t>(std::ranges::count_if(text, starts_character));
}

Table without_idle_columns(const Table& table) {
    Table kept{{}, std::vector<std::vector<std::string>>(table.rows.size()), table.keys};
    for (std::size_t column = 0; column < table.columns.size(); ++column) {
        const auto says = [&](const std::vector<std::string>& row) {
            return column < row.size() && row[column] != "-";
        };
        if (column >= table.keys && std::ranges::none_of(table.rows, says)) continue;
        kept.columns.push_back(table.columns[column]);
        for (std::size_t row = 0; row < table.rows.size(); ++row)
            kept.rows[row].push_back(column < table.rows[row].size() ? table.rows[row][column]
                                                                     : "-");
    }
    return kept;
}

std::vector<std::string> wrapped(const std::string& text, std::size_t width) {
    std::vector<std::string> lines{""};
    std::size_t begin = 0;
    while (begin < text.size()) {
        const std::size_t end = std::min(text.find(' ', begin), text.size());
        std::string word = text.substr(begin, end - begin);
        begin = end + 1;
        if (lines.back().empty())
            lines.back() = word;
        else if (length_of(lines.back()) + 1 + length_of(word) <= width)
            lines.back() += " " + word;
        else
            lines.push_back(word);
        while (length_of(lines.back()) > width) {
            std::string rest = std::move(lines.back());
            lines.back() = cut_off(rest, width);
            lines.push_back(std::move(rest));
        }
    }
    return lines;
}

std::string paragraph(const std::string& text, std::size_t width, std::size_t hang) {
    const std::vector<std::string> lines = wrapped(text, width - hang);
    std::string whole;
    for (const std::string& line : lines)
        whole.append(whole.empty() ? 0 : hang, ' ').append(line).append("\n");
    return whole;
}

std::string to_text(const Table& table, std::size_t width) {
    std::vector<std::string> headings;
    for (const Column& column : table.columns) headings.push_back(column.heading);
    std::string text;
    for (const Block& block : Layout(table).blocks(width)) {
        if (!text.empty()) text += "\n";
        append_row(text, table, block, headings, true);
        for (const auto& row : table.rows) append_row(text, table, block, row, false);
    }
    return text;
}

}  // namespace lampflight
