#include "scene/keys/quantity.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <initializer_list>
#include <utility>

#include <fmt/format.h>

#include "scene/basics/wording.h"
#include "scene/keys/unit_words.h"

namespace lampflight {
namespace {

constexpr const char* with_unit = "is written with its unit";

std::string written(double number, bool exact) {
    if (exact) return fmt::format("{:.9g}", number);
    if (std::abs(number) < 1.0) return fmt::format("{:.5g}", number);
    return number_text(std::round(number * 100.0) / 100.0);
}

std::string replaced(std::string text, std::string_view from, std::string_view to) {
    for (std::size_t at = text.find(from); at != text.npos; at = text.find(from, at + to.size()))
        text.replace(at, from.size(), to);
    return text;
}

/// Signs that look alike, made one; spaces at both ends gone.
std::string plain_signs(std::string_view text) {
    std::string plain(text);
    for (const auto& [from, to] :
         std::initializer_list<std::pair<const char*, const char*>>{{"−", "-"},
                                                                    {"–", "-"},
                                                                    {"′", "'"},
                                                                    {"’", "'"},
                                                                    {"″", "\""},
                                                                    {"”", "\""},
                                                                    {"º", "°"},
                                                                    {"²", "2"},
                                                                    {"\u00a0", " "},
                                                                    {"\u202f", " "},
                                                                    {"\u2009", " "},
                                                                    {"''", "\""}})
        plain = replaced(std::move(plain), from, to);
    const std::size_t first = plain.find_first_not_of(" \t");
    if (first == plain.npos) return "";
    return plain.substr(first, plain.find_last_not_of(" \t") - first + 1);
}

bool is_digit(char letter) {
    return letter >= '0' && letter <= '9';
}

/// Whether separators stand before every third digit from the right: 1,200,000.
bool parts_thousands(std::string_view digits, char separator) {
    const std::size_t first = digits.find(separator);
    if (first == 0 || first > 3 || digits.front() == '0') return false;
    for (std::size_t at = first; at < digits.size(); at += 4)
        if (digits[at] != separator || at + 4 > digits.size() ||
            !std::ranges::all_of(digits.substr(at + 1, 3), is_digit))
            return false;
    return true;
}

std::string without(std::string_view text, char letter) {
    std::string rest(text);
    std::erase(rest, letter);
    return rest;
}

struct Number {
    double value = 0.0;
    std::string what{};       ///< how it is written, if not as TOML wants
    std::string otherwise{};  ///< what else it may mean
};

/// Reads a text of a kind from its front.
class Reader {
public:
    explicit Reader(std::string_view text) : rest_(text) {}

    bool at_end() const { return rest_.empty(); }
    bool begins_with(std::string_view text) const { return rest_.starts_with(text); }

    bool take(std::string_view text) {
        if (!begins_with(text)) return false;
        rest_.remove_prefix(text.size());
        return true;
    }

    void skip_spaces() {
        while (take(" ")) {
        }
    }

    std::optional<Number> number() {
        const double sign = take("-") ? -1.0 : (take("+"), 1.0);
        const std::string_view digits = run_of_digits();
        auto number = number_of(digits);
        if (!number) return std::nullopt;
        if (digits.size() > 1 && digits[0] == '0' && is_digit(digits[1]) && number->what.empty())
            number->what = "begins with a needless 0";
        number->value *= sign * exponent();
        return number;
    }

    /// Up to a space or a digit that begins the next number, in small letters.
    std::string unit() {
        std::size_t end = 0;
        while (end < rest_.size() && rest_[end] != ' ' && rest_[end] != ';' &&
               (!is_digit(rest_[end]) ||
                (end > 0 && (rest_[end - 1] == 's' || rest_[end - 1] == '^'))))
            ++end;
        std::string word = lower_case(std::string(rest_.substr(0, end)));
        rest_.remove_prefix(end);
        return word;
    }

private:
    std::string_view run_of_digits() {
        std::size_t end = 0;
        const auto digit_at = [&](std::size_t at) {
            return at < rest_.size() && is_digit(rest_[at]);
        };
        while (end < rest_.size()) {
            const char letter = rest_[end];
            const bool group = letter == ' ' && end > 0 && digit_at(end - 1) && digit_at(end + 1) &&
                               digit_at(end + 2) && digit_at(end + 3) && !digit_at(end + 4);
            if (!is_digit(letter) && letter != '.' && letter != ',' && !group) break;
            ++end;
        }
        const std::string_view digits = rest_.substr(0, end);
        rest_.remove_prefix(end);
        return digits;
    }

    double exponent() {
        if (rest_.size() < 2 || (rest_[0] != 'e' && rest_[0] != 'E')) return 1.0;
        int power = 0;
        const char* const first = rest_.data() + (rest_[1] == '+' ? 2 : 1);
        const auto [end, error] = std::from_chars(first, rest_.data() + rest_.size(), power);
        if (error != std::errc()) return 1.0;
        rest_.remove_prefix(static_cast<std::size_t>(end - rest_.data()));
        return std::pow(10.0, power);
    }

    static std::optional<double> value_of(const std::string& digits) {
        double value = 0.0;
        const char* const last = digits.data() + digits.size();
        const auto [end, error] = std::from_chars(digits.data(), last, value);
        if (error != std::errc() || end != last) return std::nullopt;
        return value;
    }

    static std::optional<Number> number_of(std::string_view digits) {
        if (digits.empty() || std::ranges::none_of(digits, is_digit)) return std::nullopt;
        const std::string_view spaced = "has spaces between its thousands";
        const bool has_spaces = digits.find(' ') != digits.npos;
        const std::string tight = without(digits, ' ');
        const auto commas = std::ranges::count(tight, ','), points = std::ranges::count(tight, '.');
        const auto made = [&](const std::string& number, std::string_view what,
                              const std::string& otherwise = "") -> std::optional<Number> {
            const auto value = value_of(number);
            if (!value) return std::nullopt;
            return Number{*value, std::string(what), otherwise};
        };
        if (commas == 0 && points > 1 && parts_thousands(tight, '.'))
            return made(without(tight, '.'), "has points between its thousands");
        if (commas == 0) {
            const bool bare = tight.front() == '.' || tight.back() == '.';
            return made(tight, has_spaces ? spaced : bare ? "has no digit beside its point" : "");
        }
        if (points == 0 && commas > 1 && parts_thousands(tight, ','))
            return made(without(tight, ','), "has commas between its thousands");
        const bool comma_first = tight.find(',') < tight.find('.');
        if (points == 1 && comma_first)
            return made(without(tight, ','), "has a comma between its thousands");
        if (commas != 1) return std::nullopt;
        const bool either = points == 0 && parts_thousands(tight, ',');
        return made(replaced(without(tight, '.'), ",", "."), "is written with a decimal comma",
                    either ? without(tight, ',') : "");
    }

    std::string_view rest_;
};

Slip alone(std::string_view behind, std::string_view unit) {
    return {fmt::format("has {} behind its number", in_quotes(behind)),
            unit.empty() ? "the number alone" : fmt::format("the number alone, in {}", unit)};
}

/// A latitude or longitude as maps give it: 47°35'12" N.
std::optional<Slip> degrees_slip(Reader& reader, const Number& degrees) {
    const auto part = [&](std::string_view mark) -> std::optional<Number> {
        const auto number = reader.number();
        reader.skip_spaces();
        reader.take(mark);
        reader.skip_spaces();
        return number;
    };
    if (!reader.take("°")) reader.take("deg");
    reader.skip_spaces();
    const auto minutes = part("'");
    const auto seconds = minutes ? part("\"") : std::nullopt;
    const bool negative = reader.take("S") || reader.take("W") || degrees.value < 0.0;
    const bool lettered = negative || reader.take("N") || reader.take("E");
    if (!reader.at_end()) return std::nullopt;
    const double size = std::abs(degrees.value) + (minutes ? minutes->value / 60.0 : 0.0) +
                        (seconds ? seconds->value / 3600.0 : 0.0);
    const double places = seconds ? 1e5 : 1e4;  // a few metres on the ground, or one
    const double rounded = minutes ? std::round(size * places) / places : size;
    return Slip{minutes    ? "is written in degrees and minutes"
                : lettered ? "is written with a letter of the compass"
                           : with_unit,
                number_text(negative ? -rounded : rounded)};
}

std::optional<Slip> fraction_slip(Reader& reader, const Number& above, std::string_view unit) {
    const auto below = reader.number();
    if (!below || below->value == 0.0) return std::nullopt;
    reader.skip_spaces();
    const std::string behind = reader.unit();
    const UnitWord* const wanted = unit_of_key(unit);
    if (!reader.at_end() || (!behind.empty() && (!wanted || !unit_like(behind, *wanted))))
        return std::nullopt;
    const double factor =
        behind.empty() ? 1.0 : unit_like(behind, *wanted)->in_base / wanted->in_base;
    return Slip{"is written as a fraction",
                fmt::format("{:.5g}", above.value / below->value * factor)};
}

/// Minutes and seconds as a clock shows them.
std::optional<Slip> clock_slip(Reader& reader, const Number& minutes) {
    const auto seconds = reader.number();
    if (!seconds || !reader.at_end() || seconds->value >= 60.0) return std::nullopt;
    return Slip{"is written as minutes and seconds",
                fmt::format("{:.9g}", 60.0 * minutes.value + seconds->value)};
}

/// A number with its unit, or several: 26 ft 6 in.
std::optional<Slip> unit_slip(Reader& reader, Number number, std::string_view unit) {
    const UnitWord* const wanted = unit_of_key(unit);
    double sum = 0.0;
    bool exact = true;
    std::string other;  // the first unit that is not the key's
    for (bool first = true;; first = false) {
        reader.skip_spaces();
        const std::string word = reader.unit();
        const UnitWord* const given = wanted ? unit_like(word, *wanted) : nullptr;
        if (!given) {
            if (!first || word.empty()) return std::nullopt;
            if (lower_case(std::string(unit)) == word)
                return Slip{with_unit, written(number.value, true)};
            return alone(word, unit);
        }
        sum += number.value * given->in_base / wanted->in_base;
        exact = exact && given->exact;
        if (other.empty() && given->in_base != wanted->in_base) other = word;
        reader.skip_spaces();
        if (reader.at_end()) break;
        const auto next = reader.number();
        if (!next) return std::nullopt;
        number = *next;
    }
    if (other.empty()) return Slip{with_unit, written(sum, exact)};
    const std::string in_other = "is in " + in_quotes(other == "\""                 ? "inches"
                                                      : other == "'" && unit != "s" ? "feet"
                                                                                    : other);
    return Slip{unit.empty() ? in_other : fmt::format("{}, but the key is in {}", in_other, unit),
                written(sum, exact)};
}

/// What photographers write before a number.
bool took_lead(Reader& reader) {
    for (const char* lead : {"f/", "F/", "ƒ/", "f", "F", "ISO", "iso"})
        if (reader.take(lead)) return true;
    return false;
}

}  // namespace

std::optional<Slip> number_slip(std::string_view text, std::string_view unit) {
    const std::string plain = plain_signs(text);
    Reader reader(plain);
    const bool led = unit.empty() && took_lead(reader);
    reader.skip_spaces();
    const auto number = reader.number();
    if (!number || !std::isfinite(number->value)) return std::nullopt;
    reader.skip_spaces();
    if (reader.at_end()) {
        if (led) return Slip{"has letters before its number", written(number->value, true)};
        const std::string what = number->what.empty() ? std::string(in_quotes_only) : number->what;
        std::string write = written(number->value, true);
        if (!number->otherwise.empty())
            write += fmt::format(", or {} if the comma parts thousands", number->otherwise);
        return Slip{plain != text && number->what.empty() ? "has a sign of another kind" : what,
                    write};
    }
    if (reader.take("/")) return fraction_slip(reader, *number, unit);
    if (unit == "s" && reader.take(":")) return clock_slip(reader, *number);
    if (unit == "deg") {
        Reader degrees = reader;
        if (auto slip = degrees_slip(degrees, *number)) return slip;
    }
    return unit_slip(reader, *number, unit);
}

std::optional<std::string> converted(double number, std::string_view from, std::string_view unit) {
    const UnitWord* const wanted = unit_of_key(unit);
    std::string word = lower_case(std::string(from));
    std::ranges::replace(word, '_', '/');
    const UnitWord* const given = wanted && !word.empty() ? unit_like(word, *wanted) : nullptr;
    if (!given) return std::nullopt;
    return written(number * given->in_base / wanted->in_base, given->exact);
}

}  // namespace lampflight
