#include "scene/reader/value_slip.h"

#include <algorithm>
#include <chrono>
#include <regex>
#include <vector>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "scene/basics/nearest_word.h"
#include "scene/basics/wording.h"
#include "scene/reader/statements.h"

namespace lampflight {
namespace {

constexpr std::size_t longest_written = 200;  // beyond it nobody's slip is worth copying

constexpr std::string_view quotes[] = {"\"", "'", "“", "”", "„", "‘", "’", "«", "»", "`"};

/// Takes one quote of any kind from the front or the back.
bool take_front_quote(std::string_view& text) {
    for (std::string_view quote : quotes)
        if (text.starts_with(quote)) return text.remove_prefix(quote.size()), true;
    return false;
}
bool take_back_quote(std::string_view& text) {
    for (std::string_view quote : quotes)
        if (text.ends_with(quote)) return text.remove_suffix(quote.size()), true;
    return false;
}

std::string_view unquoted(std::string_view text) {
    text = trimmed_ends(text);
    take_front_quote(text);
    take_back_quote(text);
    return trimmed_ends(text);
}

bool has_quotes(std::string_view text) {
    return std::ranges::any_of(
        quotes, [&](std::string_view quote) { return text.find(quote) != text.npos; });
}

/// Text that can stand in quotes without more ado.
bool is_plain(std::string_view text) {
    return !text.empty() && !has_quotes(text) && text.find_first_of("\\=\n\t[]{}") == text.npos &&
           printable(text, longest_written) == text;
}

std::string quoted(std::string_view text) {
    return fmt::format("\"{}\"", text);
}

std::optional<Slip> text_slip(std::string_view written) {
    std::string_view inside = trimmed_ends(written);
    const bool front = take_front_quote(inside), back = take_back_quote(inside);
    if (!is_plain(inside)) return std::nullopt;
    const std::string_view what = !front && !back ? "stands without quotes"
                                  : front && back ? "stands in quotes of another kind"
                                                  : "lacks one of its quotes";
    return Slip{std::string(what), quoted(trimmed_ends(inside))};
}

std::optional<Slip> bool_slip(std::string_view written) {
    const std::string word = lower_case(std::string(unquoted(written)));
    for (std::string_view yes : {"true", "yes", "on", "1"})
        if (word == yes) return Slip{"is written " + in_quotes(written), "true"};
    for (std::string_view no : {"false", "no", "off", "0"})
        if (word == no) return Slip{"is written " + in_quotes(written), "false"};
    return std::nullopt;
}

std::optional<Slip> choice_slip(std::string_view written, const std::vector<std::string>& words) {
    const std::string word(unquoted(written));
    const auto near = nearest_word(word, words);
    auto slip = text_slip(written);
    if (slip && near) slip->write = quoted(*near);
    return near ? slip : std::nullopt;
}

/// The parts of a text between separators.
std::vector<std::string_view> split(std::string_view text, std::string_view separator) {
    std::vector<std::string_view> parts;
    for (;;) {
        const std::size_t at = text.find(separator);
        parts.push_back(trimmed_ends(text.substr(0, at)));
        if (at == text.npos) return parts;
        text.remove_prefix(at + separator.size());
    }
}

/// What stands in brackets of any kind, or without.
std::string_view within_brackets(std::string_view text) {
    text = trimmed_ends(text);
    while (!text.empty() && (text.back() == ',' || text.back() == ';')) text.remove_suffix(1);
    text = trimmed_ends(text);
    if (!text.empty() && (text.front() == '[' || text.front() == '(')) text.remove_prefix(1);
    if (!text.empty() && (text.back() == ']' || text.back() == ')')) text.remove_suffix(1);
    text = trimmed_ends(text);
    if (text.ends_with(',')) text.remove_suffix(1);
    return text;
}

std::string list_fault(std::string_view written) {
    const std::string_view text = trimmed_ends(written);
    const bool opens = text.starts_with('['), closes = text.ends_with(']');
    if (opens && !closes) return "lacks its closing ]";
    if (!opens && closes) return "lacks its opening [";
    if (!opens) return "is written without its [ ]";
    return "";
}

/// Whether what is to be written is a number rather than words about one.
bool is_number(std::string_view write) {
    return write.find_first_of("0123456789") < 2;
}

/// Numbers of a list, each as it should be written.
std::optional<std::vector<std::string>> numbers_of(const std::vector<std::string_view>& parts,
                                                   std::string_view unit, std::size_t count) {
    std::vector<std::string> numbers;
    for (std::string_view part : parts) {
        if (part.empty()) continue;
        const auto slip = number_slip(unquoted(part), unit);
        if (!slip || !is_number(slip->write)) return std::nullopt;
        numbers.push_back(slip->write.substr(0, slip->write.find(',')));
    }
    if (numbers.size() != count) return std::nullopt;
    return numbers;
}

std::optional<Slip> numbers_slip(std::string_view written, std::string_view unit,
                                 std::size_t count) {
    const std::string_view inside = within_brackets(written);
    if (inside.find_first_of("[]{}\n#") != inside.npos) return std::nullopt;
    for (std::string_view separator : {";", ", ", ",", "x", "×", " "}) {
        const auto numbers = numbers_of(split(inside, separator), unit, count);
        if (!numbers) continue;
        std::string what = list_fault(written);
        if (what.empty())
            what = separator == " "    ? "lacks commas between its numbers"
                   : separator == ", " ? "holds more than plain numbers"
                                       : "has other signs than commas between its numbers";
        return Slip{what, fmt::format("[{}]", fmt::join(*numbers, ", "))};
    }
    return std::nullopt;
}

std::optional<Slip> names_slip(std::string_view written) {
    const std::string_view inside = within_brackets(written);
    const bool no_comma = inside.find(',') == inside.npos && inside.find("\" \"") != inside.npos;
    std::vector<std::string> names;
    for (std::string_view part : split(inside, no_comma ? "\" \"" : ",")) {
        if (trimmed_ends(part).empty()) continue;
        const std::string_view name = unquoted(part);
        if (!is_plain(name) || name.find('#') != name.npos) return std::nullopt;
        names.push_back(quoted(name));
    }
    if (names.empty()) return std::nullopt;
    std::string what = list_fault(written);
    if (what.empty())
        what = no_comma ? "lacks a comma between its names" : "has a name without its plain quotes";
    return Slip{what, fmt::format("[{}]", fmt::join(names, ", "))};
}

/// A day, a time and an offset from UTC as people write them; both of the latter may be missing.
const std::regex& moment_pattern() {
    static const std::regex pattern(
        R"((?:(\d{4})[-/](\d\d?)[-/](\d\d?)|(\d\d?)\.(\d\d?)\.(\d{4})))"
        R"((?:[ ,T]*(\d\d?):(\d\d)(?::(\d\d)(?:\.\d+)?)?\s*(UTC|GMT|Z)?\s*)"
        R"((?:([+-])(\d\d?)(?::?(\d\d))?)?)?)",
        std::regex::icase);
    return pattern;
}

std::optional<Slip> moment_slip(std::string_view written) {
    const std::string text(unquoted(written));
    std::smatch match;
    if (!std::regex_match(text, match, moment_pattern())) return std::nullopt;
    const auto number = [&](std::size_t part) {
        return match[part].matched ? std::stoi(match[part].str()) : 0;
    };
    const bool year_first = match[1].matched;
    const int year = number(year_first ? 1 : 6), month = number(year_first ? 2 : 5),
              day = number(year_first ? 3 : 4);
    const int hour = number(7), minute = number(8), second = number(9);
    if (year < first_year || year > last_year || number(12) > 14 || number(13) > 59)
        return std::nullopt;
    if (month < 1 || month > 12 || day < 1 || day > 31 || hour > 23 || minute > 59 || second > 59)
        return Slip{"is no moment that a calendar and a clock have",
                    "a month up to 12, a day up to 31, an hour up to 23, a minute and a second up "
                    "to 59"};
    const auto last_day =
        static_cast<unsigned>((std::chrono::year(year) / month / std::chrono::last).day());
    if (static_cast<unsigned>(day) > last_day)
        return Slip{"is a day that its month lacks",
                    fmt::format("a day up to {:04}-{:02}-{:02}", year, month, last_day)};
    const std::string date = fmt::format("{:04}-{:02}-{:02}", year, month, day);
    if (!match[7].matched)
        return Slip{"is a date without time and offset",
                    fmt::format("time and offset as well, such as {}T17:35:00+01:00", date)};
    const std::string moment = fmt::format("{}T{:02}:{:02}:{:02}", date, hour, minute, second);
    const std::string odd = "is not written as a moment is";
    if (match[11].matched)
        return Slip{
            odd, fmt::format("{}{}{:02}:{:02}", moment, match[11].str(), number(12), number(13))};
    if (match[10].matched) return Slip{odd, moment + "Z"};
    return Slip{"is a date and time without its offset from UTC",
                moment + "+01:00 where clocks are an hour ahead of UTC"};
}

/// By the kind of value that a key wants.
struct OfKind {
    std::string_view written;
    const Key& key;

    std::optional<Slip> operator()(const double*) const {
        auto slip = number_slip(unquoted_number(), key.unit);
        if (!slip || !is_number(slip->write) || within(key.range, std::stod(slip->write)))
            return slip;
        if (slip->what == in_quotes_only) return std::nullopt;  // nothing is wrong but its size
        slip->write = allowed_text(key);
        return slip;
    }
    std::optional<Slip> operator()(const int*) const {
        return (*this)(static_cast<const double*>(nullptr));
    }
    std::optional<Slip> operator()(const bool*) const { return bool_slip(written); }
    std::optional<Slip> operator()(const std::string*) const { return text_slip(written); }
    std::optional<Slip> operator()(const Vec2*) const { return numbers_slip(written, key.unit, 2); }
    std::optional<Slip> operator()(const glm::ivec2*) const {
        return numbers_slip(written, key.unit, 2);
    }
    std::optional<Slip> operator()(const Vec3*) const { return numbers_slip(written, key.unit, 3); }
    std::optional<Slip> operator()(const Aim*) const {
        if (auto slip = numbers_slip(written, key.unit, 3)) return slip;
        return text_slip(written);
    }
    std::optional<Slip> operator()(const Moment*) const { return moment_slip(written); }
    std::optional<Slip> operator()(const std::vector<std::string>*) const {
        return names_slip(written);
    }
    std::optional<Slip> operator()(const TimeWindows*) const {
        return numbers_slip(written, key.unit, 2);
    }
    std::optional<Slip> operator()(const std::map<std::string, double>*) const {
        return std::nullopt;
    }
    template <class Value>
    std::optional<Slip> operator()(const std::optional<Value>*) const {
        return (*this)(static_cast<const Value*>(nullptr));
    }
    template <class Choice>
    requires std::is_enum_v<Choice> std::optional<Slip>
    operator()(const Choice*) const { return choice_slip(written, written_words<Choice>()); }

private:
    /// A quote in front is none of the number's; one behind may tell feet or inches.
    std::string_view unquoted_number() const {
        std::string_view text = trimmed_ends(written);
        if (take_front_quote(text)) take_back_quote(text);
        while (text.ends_with(',') || text.ends_with(';')) text.remove_suffix(1);
        return trimmed_ends(text);
    }
};

}  // namespace

std::optional<Slip> value_slip(std::string_view written, const Key& key) {
    if (written.size() > longest_written) return std::nullopt;
    Shoot shoot;
    return std::visit(OfKind{written, key}, sample_field(key, shoot));
}

std::optional<Slip> inner_table_slip(std::string_view written, std::string_view table,
                                     std::string_view name) {
    static const std::regex pair(
        R"(^\s*,?\s*([A-Za-z_]+)\s*[=:]\s*(.*?)\s*(?=$|,?\s*[A-Za-z_]+\s*[=:]))");
    std::string_view inside = trimmed_ends(written);
    if (written.size() > longest_written || !inside.starts_with('{')) return std::nullopt;
    const bool closed = inside.ends_with('}');
    inside.remove_prefix(1);
    if (closed) inside.remove_suffix(1);
    std::string rest(trimmed_ends(inside));
    const bool colon = rest.find(':') != rest.npos;
    std::vector<std::string> pairs;
    for (std::smatch match; !rest.empty() && std::regex_search(rest, match, pair);
         rest = match.suffix()) {
        const std::string key_name = match[1].str(), value = match[2].str();
        const Key* key = find_key(table, fmt::format("{}.{}", name, key_name));
        const auto slip = key ? value_slip(value, *key) : std::nullopt;
        if (!slip || slip->write.find(" if ") != std::string::npos || !is_number(slip->write))
            return std::nullopt;
        pairs.push_back(fmt::format("{} = {}", key_name, slip->write));
    }
    if (pairs.empty() || trimmed_ends(rest).find_first_not_of(", ") != std::string_view::npos)
        return std::nullopt;
    return Slip{!closed ? "lacks its closing }"
                : colon ? "has : where = belongs"
                        : "lacks a comma, or has one too many",
                fmt::format("{{ {} }}", fmt::join(pairs, ", "))};
}

}  // namespace lampflight
