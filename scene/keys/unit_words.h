// Units of measure by the words and signs that people write.
#pragma once

#include <string_view>

namespace lampflight {

/// What units measure; `part` is a plain number.
enum class Measure {
    length,
    time,
    speed,
    acceleration,
    angle,
    light,
    lux,
    kelvin,
    mired,
    stops,
    part
};

struct UnitWord {
    std::string_view word;
    Measure kind;
    double in_base;     ///< metres, seconds, m/s, m/s2, degrees, …
    bool exact = true;  ///< a number in it is as fine as one in the base
};

/// The unit of this name that measures the same as another; null for none. In small letters.
const UnitWord* unit_like(std::string_view word, const UnitWord& other);

/// The unit that keys have behind their numbers ("m", "K", "" for none); null for one that nobody
/// writes otherwise.
const UnitWord* unit_of_key(std::string_view unit);

}  // namespace lampflight
