#include "scene/flights/files/path_values.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstddef>

#include <fmt/format.h>

#include "scene/basics/wording.h"

namespace lampflight {
namespace {

constexpr NumberRange speed_range{0.01, 100.0, "metres a second"};
constexpr NumberRange hold_range{0.0, 3600.0, "seconds"};
constexpr NumberRange radius_range{0.0, 5000.0, "metres"};
constexpr NumberRange time_range{-1e6, 1e6, "seconds"};
constexpr NumberRange axis_range{-1e6, 1e6, ""};
constexpr std::size_t longest_name = 200;

struct AimName {
    const char* name;
    AimWord word;
};

constexpr std::array<AimName, 3> aim_names{
    {{"down", AimWord::down}, {"ahead", AimWord::ahead}, {"centre", AimWord::centre}}};

std::string allowed_text(const NumberRange& range) {
    const std::string unit = *range.unit ? fmt::format(" of {}", range.unit) : "";
    return fmt::format("a number{} from {} to {}", unit, range.least, range.most);
}

/// Written as half the world does, which is no number here.
bool has_decimal_comma(std::string_view text) {
    const std::size_t comma = text.find(',');
    if (comma == std::string_view::npos) return false;
    std::string pointed(text);
    pointed[comma] = '.';
    return number_in(pointed).has_value();
}

PathFault take_yes_or_no(bool& value, std::string_view text, std::string_view word) {
    const std::string small = lower_case(std::string(text));
    if (small == "yes" || small == "true" || small == "1") {
        value = true;
    } else if (small == "no" || small == "false" || small == "0") {
        value = false;
    } else {
        return fmt::format("has {} under {}; allowed are \"yes\" and \"no\"", in_quotes(text),
                           word);
    }
    return std::nullopt;
}

/// Three numbers with spaces between them.
std::optional<std::array<std::string_view, 3>> three_words(std::string_view text) {
    std::array<std::string_view, 3> words;
    for (std::string_view& word : words) {
        const std::size_t begin = text.find_first_not_of(' ');
        if (begin == std::string_view::npos) return std::nullopt;
        text.remove_prefix(begin);
        const std::size_t end = std::min(text.find(' '), text.size());
        word = text.substr(0, end);
        if (!number_in(word)) return std::nullopt;
        text.remove_prefix(end);
    }
    if (text.find_first_not_of(' ') != std::string_view::npos) return std::nullopt;
    return words;
}

PathFault take_aim(StatedPoint& point, std::string_view text) {
    if (text.size() > longest_name)
        return fmt::format("has an aim of {} letters; allowed are up to {}", text.size(),
                           longest_name);
    if (const auto words = three_words(text))
        return take_direction(point, (*words)[0], (*words)[1], (*words)[2]);
    point.waypoint.aim = AimAtSubject{std::string(text)};
    for (const AimName& known : aim_names)
        if (text == known.name) point.waypoint.aim = known.word;
    return std::nullopt;
}

/// Takes a number that may be absent.
PathFault take_optional(std::optional<double>& value, std::string_view text, std::string_view word,
                        const NumberRange& range) {
    double number = 0.0;
    if (auto fault = take_number(number, text, word, range)) return fault;
    value = number;
    return std::nullopt;
}

}  // namespace

std::optional<double> number_in(std::string_view text) {
    if (text.starts_with('+') && !text.starts_with("+-")) text.remove_prefix(1);
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value))
        return std::nullopt;
    return value;
}

PathFault take_number(double& value, std::string_view text, std::string_view word,
                      const NumberRange& range) {
    const std::optional<double> number = number_in(text);
    if (number && *number >= range.least && *number <= range.most) {
        value = *number;
        return std::nullopt;
    }
    const std::string found = text.empty() ? "nothing" : in_quotes(text);
    return fmt::format("has {} under {}; allowed is {}{}", found, word, allowed_text(range),
                       has_decimal_comma(text) ? ", with a point before decimals" : "");
}

const std::vector<std::string>& point_words() {
    static const std::vector<std::string> words{"speed_m_s",       "hold_s", "lit",
                                                "corner_radius_m", "aim",    "time_s"};
    return words;
}

PathFault take_value(StatedPoint& point, std::string_view word, std::string_view text) {
    Waypoint& waypoint = point.waypoint;
    if (text.empty()) return std::nullopt;
    if (word == "speed_m_s") return take_optional(waypoint.speed_m_s, text, word, speed_range);
    if (word == "hold_s") return take_number(waypoint.hold_s, text, word, hold_range);
    if (word == "lit") return take_yes_or_no(waypoint.lit, text, word);
    if (word == "corner_radius_m")
        return take_optional(waypoint.corner_radius_m, text, word, radius_range);
    if (word == "aim") return take_aim(point, text);
    return take_optional(point.time_s, text, word, time_range);
}

PathFault take_direction(StatedPoint& point, std::string_view east, std::string_view north,
                         std::string_view up) {
    Vec3 direction(0.0);
    if (auto fault = take_number(direction.x, east, "aim_east", axis_range)) return fault;
    if (auto fault = take_number(direction.y, north, "aim_north", axis_range)) return fault;
    if (auto fault = take_number(direction.z, up, "aim_up", axis_range)) return fault;
    if (!(glm::length(direction) > 1e-6))
        return "has an aim without a direction; allowed is any but [0, 0, 0]";
    point.waypoint.aim = direction;
    return std::nullopt;
}

std::string aim_text(const Aim& aim) {
    if (const Vec3* direction = std::get_if<Vec3>(&aim))
        return fmt::format("{} {} {}", direction->x, direction->y, direction->z);
    if (const AimAtSubject* subject = std::get_if<AimAtSubject>(&aim)) return subject->name;
    for (const AimName& known : aim_names)
        if (known.word == std::get<AimWord>(aim)) return known.name;
    return "";
}

}  // namespace lampflight
