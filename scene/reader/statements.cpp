#include "scene/reader/statements.h"

#include <algorithm>
#include <cctype>

#include "scene/basics/wording.h"

namespace lampflight {
namespace {

bool is_word_sign(char letter) {
    return std::isalnum(static_cast<unsigned char>(letter)) != 0 || letter == '_' ||
           letter == '-' || letter == '.';
}

std::string_view word_at_front(std::string_view text) {
    const auto* const end = std::ranges::find_if_not(text, is_word_sign);
    return text.substr(0, static_cast<std::size_t>(end - text.begin()));
}

/// Whether a line within brackets rather begins something new: `key =`, `[table]` or `[[table]]`.
bool begins_anew(std::string_view line) {
    line = trimmed_ends(line);
    if (!line.empty() && line.front() == '[') {
        line.remove_prefix(line.starts_with("[[") ? 2 : 1);
        const std::string_view word = word_at_front(trimmed_ends(line));
        return !word.empty() && std::isalpha(static_cast<unsigned char>(word.front())) != 0 &&
               line.substr(word.size()).starts_with(']');
    }
    const std::string_view word = word_at_front(line);
    return !word.empty() && trimmed_ends(line.substr(word.size())).starts_with('=');
}

/// Follows quotes and brackets through the lines of one value.
class Follower {
public:
    void line(std::string_view text) {
        for (std::size_t i = 0; i < text.size(); ++i) {
            const char letter = text[i];
            if (letter == '#' && quote_.empty()) break;
            if (!quote_.empty()) {
                if (letter == '\\' && quote_.front() == '"') {
                    ++i;
                } else if (text.substr(i).starts_with(quote_)) {
                    i += quote_.size() - 1;
                    quote_.clear();
                }
            } else if (letter == '"' || letter == '\'') {
                quote_ =
                    std::string(text.substr(i).starts_with(std::string(3, letter)) ? 3 : 1, letter);
                i += quote_.size() - 1;
            } else if (letter == '[' || letter == '{') {
                open_ += letter;
            } else if ((letter == ']' || letter == '}') && !open_.empty()) {
                open_.pop_back();
            }
        }
        if (quote_.size() == 1) quote_.clear();
    }

    const std::string& open() const { return open_; }
    bool in_long_text() const { return quote_.size() == 3; }

private:
    std::string open_;
    std::string quote_;
};

std::string_view first_line(std::string_view text) {
    return text.substr(0, text.find('\n'));
}

/// A line without its comment. A quote that is not closed hides none.
std::string_view without_comment(std::string_view line) {
    char quote = 0;
    std::size_t hash = line.npos;
    for (std::size_t i = 0; i < line.size(); ++i) {
        if (quote == 0 && line[i] == '#') return line.substr(0, i);
        if (line[i] == '#' && hash == line.npos) hash = i;
        if (quote == 0 && (line[i] == '"' || line[i] == '\'')) {
            quote = line[i];
            hash = line.npos;
        } else if (line[i] == quote) {
            quote = 0;
        }
    }
    return quote == 0 ? line : line.substr(0, hash);
}

}  // namespace

std::string_view trimmed_ends(std::string_view text) {
    const std::size_t first = text.find_first_not_of(" \t\r\n");
    if (first == text.npos) return text.substr(text.size());
    return text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1);
}

std::string_view Statement::head() const {
    return trimmed_ends(without_comment(first_line(text)));
}

std::string Statement::table() const {
    std::string_view word = head();
    word.remove_prefix(std::min(word.find_first_not_of("[ "), word.size()));
    return lower_case(std::string(word_at_front(word)));
}

std::string_view Statement::key() const {
    const std::string_view first = head();
    const std::size_t equals = first.find('=');
    if (is_header() || equals == first.npos) return "";
    return trimmed_ends(first.substr(0, equals));
}

std::string_view Statement::value() const {
    if (key().empty()) return "";
    std::string_view rest = text.substr(text.find('=') + 1);
    // Comments at the end go; those between lines of a list stay, for nobody reads these.
    for (;;) {
        rest = trimmed_ends(rest);
        const std::size_t start = rest.rfind('\n') + 1;
        const std::string_view last = without_comment(rest.substr(start));
        if (last.size() == rest.size() - start) return rest;
        rest = rest.substr(0, start + last.size());
    }
}

std::vector<Statement> statements_of(std::string_view text) {
    std::vector<Statement> statements;
    std::size_t at = 0;
    for (int line = 1; at < text.size(); ++line) {
        const std::string_view first = first_line(text.substr(at));
        const std::string_view bare = trimmed_ends(first);
        std::size_t end = std::min(at + first.size() + 1, text.size());
        const int begins = line;
        Follower follower;
        if (!bare.empty() && bare.front() != '#') {
            const std::size_t equals = first.find('=');
            if (bare.front() != '[' && equals != first.npos)
                follower.line(first.substr(equals + 1));
            while (end < text.size()) {
                const std::string_view next = first_line(text.substr(end));
                if (!follower.in_long_text() && (follower.open().empty() || begins_anew(next)))
                    break;
                follower.line(next);
                end = std::min(end + next.size() + 1, text.size());
                ++line;
            }
            statements.push_back({text.substr(at, end - at), begins, follower.open()});
        }
        at = end;
    }
    return statements;
}

}  // namespace lampflight
