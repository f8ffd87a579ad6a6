// The schema of scene files: the table of keys that the reader, its messages and the reference are
// made from.
#pragma once

#include <array>
#include <limits>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "scene/shoot/shoot.h"

namespace lampflight {

/// The value behind a key, as it lies in a shoot; its type says what may be written.
using Field =
    std::variant<double*, int*, bool*, std::string*, Vec2*, Vec3*, glm::ivec2*,
                 std::optional<double>*, std::optional<Vec2>*, std::optional<Vec3>*, std::optional<std::string>*,
                 std::optional<Model>*, FlightShape*, Pace*, Nose*, Mount*, OwnLights*, LightColour*, GroundKind*, Blend*, Aim*,
                 std::optional<Aim>*,
                 std::vector<std::string>*, std::optional<std::vector<std::string>>*,
                 std::map<std::string, double>*, std::optional<TimeWindows>*, Moment*>;

/// Words that stand for the values of a choice, in their order; an empty one can't be written.
template <class Choice>
constexpr std::array<std::string_view, 0> words_of{};
template <>
inline constexpr std::array<std::string_view, 4> words_of<Model>{"person", "arch", "boulder",
                                                                 "standing-stone"};
template <>
inline constexpr std::array<std::string_view, 10> words_of<FlightShape>{
    "circle", "line", "ring", "helix", "spiral", "star", "sweep", "hover", "waypoints", "figure"};
template <>
inline constexpr std::array<std::string_view, 3> words_of<Nose>{"kept", "ahead", "centre"};
template <>
inline constexpr std::array<std::string_view, 2> words_of<Mount>{"level", "fixed"};
template <>
inline constexpr std::array<std::string_view, 2> words_of<OwnLights>{"covered", "showing"};
template <>
inline constexpr std::array<std::string_view, 6> words_of<LightColour>{"none", "white", "red",
                                                                       "green", "blue", "amber"};
template <>
inline constexpr std::array<std::string_view, 2> words_of<Pace>{"", "shutter"};
template <>
inline constexpr std::array<std::string_view, 2> words_of<GroundKind>{"flat", "rough"};
template <>
inline constexpr std::array<std::string_view, 3> words_of<Blend>{"lighten", "add", "mean"};
template <>
inline constexpr std::array<std::string_view, 3> words_of<AimWord>{"down", "ahead", "centre"};
template <>
inline constexpr auto words_of<Aim> = words_of<AimWord>;
template <class Choice>
constexpr auto words_of<std::optional<Choice>> = words_of<Choice>;

/// The words of a choice that may be written.
template <class Choice>
std::vector<std::string> written_words() {
    std::vector<std::string> words;
    for (std::string_view word : words_of<Choice>)
        if (!word.empty()) words.emplace_back(word);
    return words;
}

/// Allowed numbers: `low` to `high`, and one more value if there is one.
struct Range {
    double low = -std::numeric_limits<double>::infinity();
    double high = std::numeric_limits<double>::infinity();
    bool above_low = false;  ///< `low` itself is not allowed
    std::optional<double> also{};
};

/// Whether a number is allowed; never a NaN.
bool within(const Range& range, double number);

/// What a text, or each text of a list, is.
enum class TextRule { any, name, path };

/// Whether a key has to be written. A key that is tied to a choice only has to where it fits.
enum class Need { optional, required };

/// Ties a key to some words of a choice in the same table: elsewhere nothing would obey it.
struct Tie {
    std::string_view choice{};  ///< key of the choice; empty for none
    std::vector<std::string_view> words{};
};

/// One key.
struct Key {
    std::string_view name;   ///< dotted for a key of an inner table
    Field (*field)(Shoot&);  ///< of the last entry where the table is a list
    std::string_view meaning;
    std::string_view unit{};
    Range range{};
    Need need = Need::optional;
    TextRule text = TextRule::any;
    std::string_view refers{};  ///< table whose entries the texts name
    bool may_be_empty = false;  ///< of a list
    Tie tie{};
    std::string_view table{};  ///< filled in by `key_table`; empty for the top of the file
};

/// One table of the file.
struct TableKind {
    std::string_view name;
    std::vector<Key> (*keys)();
    void (*append)(Shoot&) = nullptr;  ///< adds an entry; null where the table is written once
    std::size_t most = 1;              ///< entries allowed
    Need need = Need::optional;

    bool is_list() const { return append != nullptr; }
};

/// Every table and every key, in the order of the reference.
const std::vector<TableKind>& table_kinds();
const std::vector<Key>& key_table();

const TableKind* find_table_kind(std::string_view name);
const Key* find_key(std::string_view table, std::string_view name);
std::vector<std::string> key_names(std::string_view table);

/// The field of a key in a shoot made for it, for its type alone.
Field sample_field(const Key& key, Shoot& shoot);

/// The words of a choice that may be written; empty for a field of another kind.
std::vector<std::string> choices_of(const Field& field);

/// The word of a choice as it stands; empty for a field of another kind.
std::string word_of(const Field& field);

/// `[camera]` or `[[lamp]]`, as the file writes it.
std::string bracketed(std::string_view table);

/// "a number", "3 numbers", "a list of names", …
std::string kind_text(const Key& key);

/// "0.5 to 64", "more than 0, up to 1 m", "each 0 to 1", or "" where anything goes.
std::string range_text(const Key& key);

/// What may be written in full: kind, range, unit, choices.
std::string allowed_text(const Key& key);

}  // namespace lampflight
