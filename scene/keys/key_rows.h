// The keys of each table, a function each, and what their rows are made with.
#pragma once

#include <vector>

#include "scene/basics/colour.h"
#include "scene/basics/shortest_time.h"
#include "scene/keys/key_table.h"

namespace lampflight {

std::vector<Key> place_keys();
std::vector<Key> sky_keys();
std::vector<Key> air_keys();
std::vector<Key> ground_keys();
std::vector<Key> camera_keys();
std::vector<Key> subject_keys();
std::vector<Key> lamp_keys();
std::vector<Key> drone_keys();
std::vector<Key> flight_keys();
std::vector<Key> waypoint_keys();
std::vector<Key> stretch_keys();
std::vector<Key> point_keys();
std::vector<Key> take_keys();
std::vector<Key> photograph_keys();

// The table that a member of the shoot is or holds: of a list, its last entry.
template <class Table>
Table& table_in(Table& member) {
    return member;
}
template <class Table>
Table& table_in(std::optional<Table>& member) {
    return member ? *member : member.emplace();
}
template <class Table>
Table& table_in(std::vector<Table>& member) {
    return member.back();
}

/// A key's field, reached by members: a table of the shoot, inner tables, and the value there.
template <auto table, auto... members>
Field field(Shoot& shoot) {
    // clang-format off
    return &(table_in(shoot.*table) .* ... .* members);
    // clang-format on
}

// What few keys need besides, put around their row.
inline Key required(Key key) {
    key.need = Need::required;
    return key;
}
inline Key tied(const Tie& tie, Key key) {
    key.tie = tie;
    return key;
}
inline Key named(Key key) {
    key.text = TextRule::name;
    return key;
}
inline Key path(Key key) {
    key.text = TextRule::path;
    return key;
}
/// The texts name entries of a table.
inline Key naming(std::string_view table, Key key) {
    key.refers = table;
    return named(key);
}
inline Key naming_any(std::string_view table, Key key) {
    key.may_be_empty = true;
    return naming(table, key);
}

constexpr Range above(double low, double high) {
    return {.low = low, .high = high, .above_low = true};
}

// Farther off nothing is seen by a small lamp, and the ground ends.
inline constexpr Range position{-20000.0, 20000.0};
inline constexpr Range bearing{-360.0, 360.0};
inline constexpr Range temperature{lowest_temperature_k, highest_temperature_k};
inline constexpr Range shutter{0.0001, 3600.0};
inline constexpr Range within_exposure{0.0, 3600.0};
// From a spark to an hour.
inline constexpr Range flash{shortest_stated_s, 3600.0};
// Slower, no flash would come back within an exposure.
inline constexpr Range flashes_per_minute{0.01, 6000.0};
inline constexpr Range f_number{0.5, 128.0};
inline constexpr Range iso{1.0, 4e6};
inline constexpr Range share{0.0, 1.0};

}  // namespace lampflight
