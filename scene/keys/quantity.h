// Numbers as people write them: with a comma, a unit, in feet, as a fraction; told in a key's unit.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace lampflight {

/// What is odd about something written, and what to write instead: both go on a sentence that
/// begins with the key: `"f_number" in [camera] is written with a decimal comma; write 7.1`.
struct Slip {
    std::string what;
    std::string write;
};

/// What is odd about a text that is a sound number.
constexpr std::string_view in_quotes_only = "stands in quotes";

/// Of a text that begins with a number. Where its unit is of another kind than the key's, or
/// unknown, there is no number to write. `unit` is that of the key ("m", "deg", "" for none).
std::optional<Slip> number_slip(std::string_view text, std::string_view unit);

/// The number in `unit` of one in another unit of the same kind ("ft", "km_h", "min"), rounded as
/// one would write it; nothing where the kinds differ or the word is no unit.
std::optional<std::string> converted(double number, std::string_view from, std::string_view unit);

}  // namespace lampflight
