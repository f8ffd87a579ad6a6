#include "scene/flights/files/svg_scanner.h"

#include <charconv>
#include <cmath>
#include <system_error>

#include <fmt/format.h>

#include "scene/basics/utf8.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

bool is_digit(char mark) {
    return mark >= '0' && mark <= '9';
}
bool is_letter(char mark) {
    return (mark >= 'a' && mark <= 'z') || (mark >= 'A' && mark <= 'Z');
}

}  // namespace

bool is_svg_space(char mark) {
    return mark == ' ' || mark == '\t' || mark == '\n' || mark == '\f' || mark == '\r';
}

void SvgScanner::skip_space() {
    while (!at_end() && is_svg_space(text_[at_])) ++at_;
}

bool SvgScanner::skip_comma() {
    skip_space();
    const bool comma = take(',');
    if (comma) skip_space();
    return comma;
}

bool SvgScanner::take(char mark) {
    if (at_end() || text_[at_] != mark) return false;
    ++at_;
    return true;
}

std::string_view SvgScanner::word() {
    const std::size_t begin = at_;
    while (!at_end() && is_letter(text_[at_])) ++at_;
    return text_.substr(begin, at_ - begin);
}

std::size_t SvgScanner::digits_from(std::size_t from) const {
    while (from < text_.size() && is_digit(text_[from])) ++from;
    return from;
}

/// Where the number that begins here ends; here itself where there is none.
std::size_t SvgScanner::number_end() const {
    const auto is = [&](std::size_t place, std::string_view marks) {
        return place < text_.size() && marks.find(text_[place]) != std::string_view::npos;
    };
    const std::size_t begin = is(at_, "+-") ? at_ + 1 : at_;
    std::size_t end = digits_from(begin);
    std::size_t digits = end - begin;
    if (is(end, ".")) {
        const std::size_t fraction_end = digits_from(end + 1);
        digits += fraction_end - end - 1;
        if (digits > 0) end = fraction_end;
    }
    if (digits == 0) return at_;
    if (is(end, "eE")) {
        const std::size_t exponent = is(end + 1, "+-") ? end + 2 : end + 1;
        if (digits_from(exponent) > exponent) end = digits_from(exponent);
    }
    return end;
}

std::optional<double> SvgScanner::number() {
    const std::size_t end = number_end();
    if (end == at_) return std::nullopt;
    const char* first = text_.data() + at_ + (text_[at_] == '+' ? 1 : 0);
    double value = 0.0;
    const auto [stop, error] = std::from_chars(first, text_.data() + end, value);
    if (error != std::errc{} || !std::isfinite(value)) {
        out_of_range_ = true;
        return std::nullopt;
    }
    at_ = end;
    return value;
}

std::optional<bool> SvgScanner::flag() {
    if (take('0')) return false;
    if (take('1')) return true;
    return std::nullopt;
}

std::string SvgScanner::fault(std::string_view allowed) const {
    if (out_of_range_)
        return fmt::format("number at character {} is {}, out of what can be held", place(),
                           printable(text_.substr(at_, number_end() - at_), 24));
    if (at_end()) return fmt::format("text ends where {} should follow", allowed);
    const std::string_view rest = text_.substr(at_);
    const std::size_t length = std::max<std::size_t>(utf8_length(rest), 1);
    return fmt::format("character {} is {}; allowed there is {}", place(),
                       in_quotes(rest.substr(0, length)), allowed);
}

}  // namespace lampflight
