#include "scene/keys/unit_words.h"

#include <algorithm>
#include <iterator>

#include "scene/basics/wording.h"

namespace lampflight {
namespace {

/// Lengths in feet, inches and the like by the international foot of 1959, 0.3048 m.
constexpr UnitWord units[] = {
    {"mm", Measure::length, 0.001},
    {"cm", Measure::length, 0.01},
    {"m", Measure::length, 1.0},
    {"km", Measure::length, 1000.0},
    {"metre", Measure::length, 1.0},
    {"metres", Measure::length, 1.0},
    {"meter", Measure::length, 1.0},
    {"meters", Measure::length, 1.0},
    {"ft", Measure::length, 0.3048, false},
    {"foot", Measure::length, 0.3048, false},
    {"feet", Measure::length, 0.3048, false},
    {"'", Measure::length, 0.3048, false},
    {"in", Measure::length, 0.0254, false},
    {"inch", Measure::length, 0.0254, false},
    {"inches", Measure::length, 0.0254, false},
    {"\"", Measure::length, 0.0254, false},
    {"yd", Measure::length, 0.9144, false},
    {"yards", Measure::length, 0.9144, false},
    {"mi", Measure::length, 1609.344, false},
    {"mile", Measure::length, 1609.344, false},
    {"miles", Measure::length, 1609.344, false},
    {"ms", Measure::time, 0.001},
    {"s", Measure::time, 1.0},
    {"sec", Measure::time, 1.0},
    {"secs", Measure::time, 1.0},
    {"second", Measure::time, 1.0},
    {"seconds", Measure::time, 1.0},
    {"\"", Measure::time, 1.0},
    {"m", Measure::time, 60.0},
    {"min", Measure::time, 60.0},
    {"mins", Measure::time, 60.0},
    {"minute", Measure::time, 60.0},
    {"minutes", Measure::time, 60.0},
    {"'", Measure::time, 60.0},
    {"h", Measure::time, 3600.0},
    {"hr", Measure::time, 3600.0},
    {"hour", Measure::time, 3600.0},
    {"hours", Measure::time, 3600.0},
    {"m/s", Measure::speed, 1.0},
    {"mps", Measure::speed, 1.0},
    {"km/h", Measure::speed, 1.0 / 3.6, false},
    {"kmh", Measure::speed, 1.0 / 3.6, false},
    {"kph", Measure::speed, 1.0 / 3.6, false},
    {"mph", Measure::speed, 0.44704, false},
    {"ft/s", Measure::speed, 0.3048, false},
    {"kn", Measure::speed, 1852.0 / 3600.0, false},
    {"knots", Measure::speed, 1852.0 / 3600.0, false},
    {"m/s2", Measure::acceleration, 1.0},
    {"m/s^2", Measure::acceleration, 1.0},
    {"g", Measure::acceleration, 9.80665, false},
    {"deg", Measure::angle, 1.0},
    {"degree", Measure::angle, 1.0},
    {"degrees", Measure::angle, 1.0},
    {"°", Measure::angle, 1.0},
    {"rad", Measure::angle, 57.29577951308232, false},
    {"lm", Measure::light, 1.0},
    {"lumen", Measure::light, 1.0},
    {"lumens", Measure::light, 1.0},
    {"klm", Measure::light, 1000.0},
    {"lx", Measure::lux, 1.0},
    {"lux", Measure::lux, 1.0},
    {"k", Measure::kelvin, 1.0},
    {"kelvin", Measure::kelvin, 1.0},
    {"°k", Measure::kelvin, 1.0},
    {"mired", Measure::mired, 1.0},
    {"stops", Measure::stops, 1.0},
    {"stop", Measure::stops, 1.0},
    {"ev", Measure::stops, 1.0},
    {"", Measure::part, 1.0},
    {"%", Measure::part, 0.01},
    {"percent", Measure::part, 0.01},
};

}  // namespace

const UnitWord* unit_like(std::string_view word, const UnitWord& other) {
    const auto* found = std::ranges::find_if(
        units, [&](const UnitWord& unit) { return unit.word == word && unit.kind == other.kind; });
    return found == std::end(units) ? nullptr : found;
}

const UnitWord* unit_of_key(std::string_view unit) {
    const std::string small = lower_case(std::string(unit));
    const auto* found = std::ranges::find(units, small, &UnitWord::word);
    return found == std::end(units) ? nullptr : found;
}

}  // namespace lampflight
