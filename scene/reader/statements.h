// Statements: a scene's text cut into headers of tables and keys with their values, sound or not.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace lampflight {

/// One header, or one key with its value, which may take several lines; or a line that is neither.
struct Statement {
    std::string_view text;        ///< whole lines
    int line = 1;                 ///< of its beginning, from 1
    std::string open_brackets{};  ///< those that are not closed at its end

    bool is_header() const { return !head().empty() && head().front() == '['; }
    std::string table() const;       ///< of a header: the word in its brackets
    std::string_view head() const;   ///< the first line without spaces before and a comment behind
    std::string_view key() const;    ///< empty for a header and a line without =
    std::string_view value() const;  ///< what stands behind =, without a comment at its end
};

/// All but empty lines and comments. A value in brackets goes on over lines until it is closed, or
/// until a line begins as a new statement does.
std::vector<Statement> statements_of(std::string_view text);

std::string_view trimmed_ends(std::string_view text);

}  // namespace lampflight
