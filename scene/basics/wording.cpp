#include "scene/basics/wording.h"

#include <array>

#include <fmt/format.h>

#include "scene/basics/nearest_word.h"

namespace lampflight {
namespace {

constexpr std::size_t longest_quote = 60;
constexpr std::size_t most_listed = 30;

/// Bytes of the UTF-8 character that starts here; 1 for a stray byte.
std::size_t character_bytes(unsigned char first) {
    if (first >= 0xF0) return 4;
    if (first >= 0xE0) return 3;
    if (first >= 0xC0) return 2;
    return 1;
}

/// C0 controls, delete, and the C1 controls U+0080 to U+009F, which steer some terminals.
bool is_control(std::string_view character) {
    const auto first = static_cast<unsigned char>(character[0]);
    if (first < 0x20 || first == 0x7F) return true;
    return first == 0xC2 && character.size() == 2 &&
           static_cast<unsigned char>(character[1]) < 0xA0;
}

std::string escaped(std::string_view character) {
    if (character == "\n") return "\\n";
    if (character == "\t") return "\\t";
    if (character == "\r") return "\\r";
    return fmt::format("\\x{:02x}", static_cast<unsigned char>(character.back()));
}

}  // namespace

std::string printable(std::string_view text, std::size_t most) {
    std::string safe;
    std::size_t count = 0;
    for (std::size_t i = 0; i < text.size(); ++count) {
        if (count == most) return safe + "…";
        const auto character = text.substr(i, character_bytes(static_cast<unsigned char>(text[i])));
        safe += is_control(character) ? escaped(character) : std::string(character);
        i += character.size();
    }
    return safe;
}

std::string in_quotes(std::string_view text) {
    return '"' + printable(text, longest_quote) + '"';
}

std::string lower_case(std::string text) {
    for (char& letter : text)
        if (letter >= 'A' && letter <= 'Z') letter = static_cast<char>(letter - 'A' + 'a');
    return text;
}

std::string alternatives(const std::vector<std::string>& words, std::string_view joint) {
    std::string line;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i > 0) line += i + 1 == words.size() ? fmt::format(" {} ", joint) : ", ";
        line += in_quotes(words[i]);
    }
    return line;
}

std::string number_text(double number) {
    return fmt::format("{}", number);
}

std::string size_text(std::uint64_t bytes) {
    constexpr std::array units{"bytes", "kB", "MB", "GB", "TB"};
    auto size = static_cast<double>(bytes);
    std::size_t unit = 0;
    for (; size >= 1024.0 && unit + 1 < units.size(); ++unit) size /= 1024.0;
    return fmt::format("{:.{}f} {}", size, size < 10.0 && unit > 0 ? 1 : 0, units[unit]);
}

std::string hint(std::string_view word, const std::vector<std::string>& candidates) {
    if (const auto near = nearest_word(word, candidates))
        return "; did you mean " + in_quotes(*near) + "?";
    if (candidates.empty()) return "; there are none";
    if (candidates.size() == 1) return "; known is " + in_quotes(candidates.front());
    if (candidates.size() <= most_listed) return "; known are " + alternatives(candidates, "and");
    const auto end = candidates.begin() + static_cast<std::ptrdiff_t>(most_listed);
    return "; known are " + alternatives({candidates.begin(), end}, "and") + " and more";
}

}  // namespace lampflight
