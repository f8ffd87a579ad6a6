#include "cli/session/problem_text.h"

#include <algorithm>
#include <map>
#include <utility>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "scene/basics/utf8.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

constexpr std::size_t indent = 4;
constexpr std::size_t widest = 76;  // columns of a line that are shown
constexpr std::size_t most_alike = 3;
constexpr std::size_t most_lines_listed = 8;

/// A character as it is shown, and the columns that it takes.
struct Shown {
    std::string text;
    std::size_t width = 1;
};

char32_t code_point(std::string_view character) {
    const auto byte = [&](std::size_t i) -> char32_t {
        return static_cast<unsigned char>(character[i]);
    };
    if (character.size() == 1) return byte(0);
    char32_t code = byte(0) & (0x7Fu >> character.size());
    for (std::size_t i = 1; i < character.size(); ++i) code = code << 6 | (byte(i) & 0x3Fu);
    return code;
}

/// Columns of a terminal: none for marks that join the letter before, two for East Asian wide
/// characters and pictograms (by blocks, after Unicode Standard Annex 11).
std::size_t columns_of(char32_t code) {
    const auto within = [&](char32_t low, char32_t high) { return code >= low && code <= high; };
    if (within(0x300, 0x36F) || within(0x200B, 0x200F) || within(0x202A, 0x202E) ||
        within(0x2060, 0x206F) || within(0xFE00, 0xFE0F) || code == 0xFEFF)
        return 0;
    const bool wide = within(0x1100, 0x115F) || within(0x2E80, 0xA4CF) || within(0xAC00, 0xD7A3) ||
                      within(0xF900, 0xFAFF) || within(0xFE30, 0xFE6F) || within(0xFF00, 0xFF60) ||
                      within(0xFFE0, 0xFFE6) || within(0x1F300, 0x1FAFF) ||
                      within(0x20000, 0x3FFFD);
    return wide ? 2 : 1;
}

/// Marks that turn the direction of writing would move the caret from its place.
bool turns_writing(char32_t code) {
    return (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069);
}

/// The first character of a text, and its bytes.
std::pair<Shown, std::size_t> first_shown(std::string_view text) {
    const std::size_t bytes = utf8_length(text);
    if (bytes == 0)
        return {{fmt::format("\\x{:02x}", static_cast<unsigned char>(text.front())), 4}, 1};
    const std::string_view character = text.substr(0, bytes);
    if (character == "\t") return {{" ", 1}, 1};
    const char32_t code = code_point(character);
    if (turns_writing(code)) return {{"?", 1}, bytes};
    const std::string safe = printable(character, 1);
    return {{safe, safe == character ? columns_of(code) : safe.size()}, bytes};
}

std::size_t width_of(const std::vector<Shown>& line, std::size_t from, std::size_t to) {
    std::size_t width = 0;
    for (std::size_t i = from; i < to; ++i) width += line[i].width;
    return width;
}

std::vector<std::string_view> lines_of(std::string_view text) {
    std::vector<std::string_view> lines;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        std::string_view line = text.substr(0, end);
        if (line.ends_with('\r')) line.remove_suffix(1);
        lines.push_back(line);
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return lines;
}

/// What problems have in common that are alike: all but numbers and the name of a table's entry.
std::string likeness(const Problem& problem) {
    std::string text;
    bool in_name = false;
    for (std::size_t i = 0; i < problem.text.size(); ++i) {
        const char letter = problem.text[i];
        if (in_name) {
            in_name = letter != '"';
        } else if (letter == '"' && text.ends_with("]] ")) {
            in_name = true;
        } else if (letter < '0' || letter > '9') {
            text += letter;
        }
    }
    return (problem.line > 0 ? "" : problem.file + ' ') + text;
}

std::string others_text(const std::vector<const Problem*>& alike) {
    std::vector<int> lines;
    for (const Problem* problem : alike)
        if (lines.empty() || lines.back() != problem->line) lines.push_back(problem->line);
    const std::size_t others = alike.size() - 1;
    if (lines.size() < 2) return fmt::format("  and {} more like it\n", others);
    const bool all = lines.size() <= most_lines_listed + 1;
    lines.resize(std::min(lines.size(), most_lines_listed + 1));
    lines.erase(lines.begin());
    return fmt::format("  and {} more like it, in line{} {}{}\n", others,
                       lines.size() == 1 ? "" : "s", fmt::join(lines, ", "), all ? "" : ", …");
}

}  // namespace

std::string excerpt(std::string_view line, int column) {
    std::vector<Shown> shown;
    while (!line.empty()) {
        auto [character, bytes] = first_shown(line);
        shown.push_back(std::move(character));
        line.remove_prefix(bytes);
    }
    const std::size_t place =
        std::min(static_cast<std::size_t>(std::max(column, 1)) - 1, shown.size());
    std::size_t from = 0, to = shown.size();
    if (width_of(shown, 0, to) > widest) {
        for (from = place; from > 0 && width_of(shown, from - 1, place) <= widest / 2;) --from;
        for (to = place; to < shown.size() && width_of(shown, from, to + 1) <= widest;) ++to;
    }
    std::string text(indent, ' ');
    if (from > 0) text += "…";
    for (std::size_t i = from; i < to; ++i) text += shown[i].text;
    if (to < shown.size()) text += "…";
    const std::size_t before = indent + (from > 0 ? 1 : 0) + width_of(shown, from, place);
    return text + '\n' + std::string(before, ' ') + "^\n";
}

std::string problems_text(const std::vector<Problem>& problems, std::string_view source) {
    const std::vector<std::string_view> lines = lines_of(source);
    std::map<std::string, std::vector<const Problem*>> alike;
    for (const Problem& problem : problems) alike[likeness(problem)].push_back(&problem);
    std::string text;
    std::size_t shown = 0, told = 0;
    for (const Problem& problem : problems) {
        const auto& group = alike.at(likeness(problem));
        const bool folded = group.size() > most_alike;
        if (shown == most_problems_shown || (folded && group.front() != &problem)) continue;
        ++shown;
        told += folded ? group.size() : 1;
        text += to_string(problem) + '\n';
        const auto line = static_cast<std::size_t>(std::max(problem.line, 0));
        if (line > 0 && line <= lines.size() && !lines[line - 1].empty())
            text += excerpt(lines[line - 1], problem.column);
        if (folded) text += others_text(group);
    }
    if (told < problems.size()) text += fmt::format("and {} more\n", problems.size() - told);
    return text + fmt::format("{} problem{}; 'lampflight keys' lists what a scene may hold\n",
                              problems.size(), problems.size() == 1 ? "" : "s");
}

}  // namespace lampflight
