#include "cli/sheets/plan_words.h"

#include <algorithm>

#include "cli/drawing/canvas.h"
#include "cli/reports/table.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

constexpr double column_gap = 8.0;

/// Widths of the columns; those that may shrink share what is too much, the widest first.
std::vector<double> widths_of(const PlanTable& table, double width) {
    std::vector<double> widths;
    for (std::size_t column = 0; column < table.headings.size(); ++column) {
        double widest = plan_text_width(table.headings[column].words, plan_letter, true);
        for (const auto& row : table.rows)
            widest = std::max(widest, plan_text_width(row[column], plan_letter));
        widths.push_back(widest);
    }
    const auto all = [&] {
        double sum = column_gap * (static_cast<double>(widths.size()) - 1.0);
        for (const double one : widths) sum += one;
        return sum;
    };
    constexpr double step = 2.0, narrowest = 24.0;
    while (all() > width) {
        std::size_t widest = widths.size();
        for (std::size_t column = 0; column < widths.size(); ++column)
            if (table.headings[column].shrinks &&
                (widest == widths.size() || widths[column] > widths[widest]))
                widest = column;
        if (widest == widths.size() || widths[widest] < narrowest) break;
        widths[widest] -= step;
    }
    return widths;
}

}  // namespace

double plan_text_width(std::string_view words, double size, bool bold) {
    // The built-in font's height from its highest letter to its lowest is 1.164 of its em; its bold
    // letters are about a tenth wider.
    constexpr double heights_of_em = 1.164, bold_wider = 1.12;
    return (bold ? bold_wider : 1.0) * text_width(heights_of_em * size, words);
}

std::string fitted(std::string_view words, double size, double width, bool bold) {
    std::size_t most = length_of(words);
    std::string shown = printable(words, most);
    while (most > 1 && plan_text_width(shown, size, bold) > width) shown = printable(words, --most);
    return shown;
}

std::vector<std::string> folded(std::string_view words, double size, double width) {
    std::vector<std::string> lines;
    std::size_t from = 0;
    while (from < words.size()) {
        const std::size_t to = std::min(words.find(' ', from), words.size());
        const std::string_view word = words.substr(from, to - from);
        from = to + 1;
        if (word.empty()) continue;
        std::string longer = lines.empty() ? "" : lines.back() + ' ';
        longer += word;
        if (!lines.empty() && plan_text_width(longer, size) <= width)
            lines.back() = longer;
        else
            lines.push_back(fitted(word, size, width));
    }
    return lines;
}

void PlanTable::leave_out_idle() {
    for (std::size_t column = headings.size(); column-- > 1;) {
        const auto says = [&](const auto& row) { return row[column] != "-"; };
        if (std::ranges::any_of(rows, says)) continue;
        const auto by = static_cast<std::ptrdiff_t>(column);
        headings.erase(headings.begin() + by);
        for (auto& row : rows) row.erase(row.begin() + by);
    }
}

double PlanTable::height() const {
    return plan_row_step * static_cast<double>(rows.size() + (more.empty() ? 1 : 2)) + 3.0;
}

void draw_table(SvgPage& page, const Vec2& corner, double width, const PlanTable& table) {
    const std::vector<double> widths = widths_of(table, width);
    constexpr double widest_gap = 20.0;
    double spare = width;
    for (const double one : widths) spare -= one;
    const double column_step = std::clamp(
        spare / std::max(1.0, static_cast<double>(widths.size()) - 1.0), column_gap, widest_gap);
    double foot = corner.y + 8.0;
    const auto draw_row = [&](const auto& words_of, bool bold) {
        double left = corner.x;
        for (std::size_t column = 0; column < widths.size(); ++column) {
            const bool right = table.headings[column].right;
            page.text({right ? left + widths[column] : left, foot},
                      fitted(words_of(column), plan_letter, widths[column] + 0.5, bold),
                      {plan_letter, plan_ink, bold, right ? Anchor::end : Anchor::start});
            left += widths[column] + column_step;
        }
    };
    draw_row([&](std::size_t column) { return table.headings[column].words; }, true);
    page.line({corner.x, foot + 2.8}, {corner.x + width, foot + 2.8}, {plan_ink, 0.6, ""});
    foot += 2.0;
    for (const auto& row : table.rows) {
        foot += plan_row_step;
        draw_row([&](std::size_t column) { return row[column]; }, false);
    }
    if (!table.more.empty())
        page.text({corner.x, foot + plan_row_step}, table.more, {plan_letter, plan_faint, false});
}

}  // namespace lampflight
