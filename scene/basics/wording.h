// Words of the messages: one voice for everything the door says.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace lampflight {

/// Text in double quotes, safe to print: control characters escaped, long texts cut short.
std::string in_quotes(std::string_view text);

/// Text without quotes, as safe to print as `in_quotes`, cut after `most` characters.
std::string printable(std::string_view text, std::size_t most);

/// `"a", "b" or "c"`, each quoted; with another word than "or" between the last two.
std::string alternatives(const std::vector<std::string>& words, std::string_view joint = "or");

/// ASCII letters in lower case.
std::string lower_case(std::string text);

/// Shortest decimal that reads back as the same number: 0.5, 20000, 1e+30.
std::string number_text(double number);

/// "17 MB", "1.5 GB": by the 1024, as the limits of files are.
std::string size_text(std::uint64_t bytes);

/// `; did you mean "b"?` for a word near one of the candidates, else `; known are "a" and "b"`, or
/// "; there are none".
std::string hint(std::string_view word, const std::vector<std::string>& candidates);

}  // namespace lampflight
