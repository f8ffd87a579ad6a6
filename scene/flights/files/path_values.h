// What files say of a point, as text: numbers within bounds, yes or no, where a lamp points.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "scene/flights/waypoint.h"

namespace lampflight {

/// What is wrong, in words; nothing where all is well.
using PathFault = std::optional<std::string>;

struct NumberRange {
    double least, most;
    const char* unit;  ///< "metres"
};

constexpr NumberRange latitude_range{-90.0, 90.0, "degrees"};
constexpr NumberRange longitude_range{-180.0, 180.0, "degrees"};
constexpr NumberRange sea_level_range{-1000.0, 20'000.0, "metres"};

/// The text as a number, finite and with a point before its decimals; nothing for anything else.
std::optional<double> number_in(std::string_view text);

/// Takes the text into `value`, or gives the fault: `has "abc" under up_m; allowed is a number of
/// metres from -500 to 10000`. `word` is what the file calls it.
PathFault take_number(double& value, std::string_view text, std::string_view word,
                      const NumberRange& range);

/// A point as its file states it.
struct StatedPoint {
    Waypoint waypoint;
    std::optional<double> time_s;  ///< only told, but it has to rise
};

/// Words for all that may be told of a point but its place: "hold_s", "speed_m_s", "lit" and so on.
const std::vector<std::string>& point_words();

/// Takes the text of one of these words into a point, or gives the fault. An empty text states
/// nothing.
PathFault take_value(StatedPoint& point, std::string_view word, std::string_view text);

/// The fault of three texts that make no direction, else they are the lamps' aim.
PathFault take_direction(StatedPoint& point, std::string_view east, std::string_view north,
                         std::string_view up);

/// As `take_value` reads it back.
std::string aim_text(const Aim& aim);

}  // namespace lampflight
