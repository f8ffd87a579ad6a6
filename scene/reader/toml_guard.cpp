#include "scene/reader/toml_guard.h"

#include <cstdint>

#include <fmt/format.h>

#include "scene/reader/scene_text.h"

namespace lampflight {
namespace {

constexpr int deepest_brackets = 16;
constexpr int most_dots = 8;  // in one key

/// Length of the UTF-8 character at the start (RFC 3629, no overlong forms, no surrogates), or 0.
std::size_t utf8_length(std::string_view text) {
    const auto byte = [&](std::size_t i) -> unsigned {
        return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u;
    };
    const auto follows = [&](std::size_t i) { return (byte(i) & 0xC0u) == 0x80u; };
    const unsigned first = byte(0), second = byte(1);
    if (first < 0x80) return 1;
    if (first >= 0xC2 && first <= 0xDF) return follows(1) ? 2 : 0;
    if (first >= 0xE0 && first <= 0xEF) {
        const bool overlong = first == 0xE0 && second < 0xA0;
        const bool surrogate = first == 0xED && second > 0x9F;
        return follows(1) && follows(2) && !overlong && !surrogate ? 3 : 0;
    }
    if (first >= 0xF0 && first <= 0xF4) {
        const bool overlong = first == 0xF0 && second < 0x90;
        const bool beyond = first == 0xF4 && second > 0x8F;
        return follows(1) && follows(2) && follows(3) && !overlong && !beyond ? 4 : 0;
    }
    return 0;
}

bool is_binary(char byte) {
    const auto code = static_cast<unsigned char>(byte);
    return code < 0x20 && byte != '\n' && byte != '\r' && byte != '\t';
}

/// Keeps count of line, column, brackets and dots while walking over a text.
class Guard {
public:
    Guard(std::string_view text, const std::string& name) : text_(text), name_(name) {}

    std::optional<Problem> first_problem() {
        while (at_ < text_.size()) {
            const std::size_t length = utf8_length(text_.substr(at_));
            if (length == 0) return here("text that is not UTF-8; allowed is UTF-8 throughout");
            if (is_binary(text_[at_]))
                return here(fmt::format("a control byte 0x{:02x}; allowed is plain text",
                                        static_cast<unsigned>(text_[at_])));
            if (length == 1)
                if (auto problem = structure(text_[at_])) return problem;
            advance(length);
        }
        return std::nullopt;
    }

private:
    std::optional<Problem> structure(char letter) {
        if (in_comment_) {
            in_comment_ = letter != '\n';
        } else if (quote_ != 0) {
            inside_quotes(letter);
        } else if (letter == '"' || letter == '\'') {
            open_quotes(letter);
        } else {
            return nesting(letter);
        }
        return std::nullopt;
    }

    bool thrice(char quote) const { return text_.substr(at_, 3) == std::string(3, quote); }

    /// A text may end in quotes of its own: the last three of a row are the closing ones.
    bool closes_here() const {
        return thrice(quote_) && (at_ + 3 >= text_.size() || text_[at_ + 3] != quote_);
    }

    void open_quotes(char quote) {
        quote_ = quote;
        multi_line_ = thrice(quote);
        if (multi_line_) skip_ = 2;
    }

    void inside_quotes(char letter) {
        if (skip_ > 0) {
            --skip_;
        } else if (letter == '\\' && quote_ == '"') {
            skip_ = 1;
        } else if (letter == '\n' && !multi_line_) {
            quote_ = 0;  // the parser will refuse it here
        } else if (letter == quote_ && (!multi_line_ || closes_here())) {
            closing_ = multi_line_ ? 2 : 0;
            quote_ = 0;
        }
    }

    std::optional<Problem> nesting(char letter) {
        if (closing_ > 0) {
            --closing_;
            return std::nullopt;
        }
        if (letter == '#') in_comment_ = true;
        if (letter == '[' || letter == '{') ++depth_;
        if ((letter == ']' || letter == '}') && depth_ > 0) --depth_;
        if (letter == '.') {
            ++dots_;
        } else if (letter == '=' || letter == ',' || letter == '[' || letter == '{' ||
                   letter == '\n') {
            dots_ = 0;
        }
        if (depth_ > deepest_brackets)
            return here(fmt::format("brackets more than {} deep; no scene needs so many",
                                    deepest_brackets));
        if (dots_ > most_dots)
            return here(fmt::format("more than {} dots in a row of keys; no scene needs so many",
                                    most_dots));
        return std::nullopt;
    }

    void advance(std::size_t length) {
        ++column_;
        if (text_[at_] == '\n') {
            ++line_;
            column_ = 1;
        }
        at_ += length;
    }

    Problem here(std::string text) const { return {name_, line_, column_, std::move(text)}; }

    std::string_view text_;
    const std::string& name_;
    std::size_t at_ = 0;
    int line_ = 1, column_ = 1;
    int depth_ = 0, dots_ = 0;
    int skip_ = 0;     // letters within quotes that mean nothing more
    int closing_ = 0;  // rest of a closing triple quote
    char quote_ = 0;
    bool multi_line_ = false, in_comment_ = false;
};

}  // namespace

std::optional<Problem> unfit_text(std::string_view text, const std::string& name) {
    if (text.size() > largest_scene_bytes)
        return Problem{name, 1, 1,
                       fmt::format("a file of more than {} bytes; allowed is up to that",
                                   largest_scene_bytes)};
    return Guard(text, name).first_problem();
}

}  // namespace lampflight
