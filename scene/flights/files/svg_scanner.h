// Numbers and marks of SVG attributes, read one after another.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace lampflight {

/// Whether SVG counts it as white space.
bool is_svg_space(char mark);

/// Reads from the front; what does not fit is left where it stands.
class SvgScanner {
public:
    explicit SvgScanner(std::string_view text) : text_(text) {}

    bool at_end() const { return at_ == text_.size(); }
    /// The next character, and 0 at the end.
    char next() const { return at_end() ? '\0' : text_[at_]; }
    /// Where the next character stands, from 1.
    std::size_t place() const { return at_ + 1; }

    void skip_space();
    /// Skips white space with a comma in it or without; true where there was a comma.
    bool skip_comma();
    bool take(char mark);
    /// Letters up to the next character that is none.
    std::string_view word();
    /// A number by SVG 1.1, 8.3.9, the most characters that make one; nothing where there is none,
    /// or where it is too large or too small to be held.
    std::optional<double> number();
    /// `0` or `1`, whatever follows.
    std::optional<bool> flag();

    /// What stands here and what is allowed instead, as the end of a sentence that began with
    /// "... whose".
    std::string fault(std::string_view allowed) const;

private:
    std::size_t digits_from(std::size_t from) const;
    std::size_t number_end() const;

    std::string_view text_;
    std::size_t at_ = 0;
    bool out_of_range_ = false;  ///< the number that stands here
};

}  // namespace lampflight
