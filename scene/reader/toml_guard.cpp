#include "scene/reader/toml_guard.h"

#include <fmt/format.h>

#include "scene/basics/utf8.h"
#include "scene/reader/scene_text.h"

namespace lampflight {
namespace {

constexpr int deepest_brackets = 16;
constexpr int most_dots = 8;  // in one key

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
